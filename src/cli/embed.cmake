# Writes a C++ file holding the text of FILES in FOLDER, by name, for `mildway init`.
set(entries "")
foreach(name IN LISTS FILES)
    file(READ "${FOLDER}/${name}" text)
    string(APPEND entries "    {\"${name}\", R\"~text~(${text})~text~\"},\n")
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
