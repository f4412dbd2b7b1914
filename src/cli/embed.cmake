# Writes a C++ file holding the text of FILES, by file name, for `mildway init`.
set(entries "")
foreach(path IN LISTS FILES)
    get_filename_component(name "${path}" NAME)
    file(READ "${path}" text)
    string(APPEND entries "    {\"${name}\", R\"~json~(${text})~json~\"},\n")
endforeach()
file(WRITE "${OUTPUT}.new" "#include \"starter_workspace.hpp\"

namespace mildway::cli {

const std::vector<StarterFile>& starter_workspace() {
    static const std::vector<StarterFile> files{
${entries}    };
    return files;
}

}  // namespace mildway::cli
")
file(RENAME "${OUTPUT}.new" "${OUTPUT}")
