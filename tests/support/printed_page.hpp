// A page as a browser prints it. The browser is the program "chromium"; pages are counted by "pdfinfo"
// (poppler).
#pragma once

#include "temp_workspace.hpp"

#include <cstdlib>
#include <regex>
#include <stdexcept>
#include <string>

namespace mildway::testing {

inline bool can_print() {
    return std::system("command -v chromium >/dev/null && command -v pdfinfo >/dev/null") == 0;
}

/// How many pages `html` takes on `paper` ("letter" or "A4", as CSS calls them) with the page's own margins,
/// and what size they are.
struct Printed {
    int pages = 0;
    std::string size;  ///< "612 x 792 pts (letter)"
};

inline Printed print(std::string html, const std::string& paper) {
    const TempFolder folder;
    const auto in = [&](const char* name) { return (folder.path() / name).string(); };
    const std::string end = "</style>";
    const auto at = html.find(end);
    if (at == std::string::npos) throw std::runtime_error("the page has no style");
    spill(in("page.html"), html.insert(at, "@page { size: " + paper + "; }\n"));
    // --no-sandbox: it runs as root in containers; nothing here comes from outside
    const std::string browser =
        "timeout 120 chromium --headless --no-sandbox --disable-gpu --disable-background-networking "
        "--disable-component-update --disable-sync --no-first-run --no-pdf-header-footer --user-data-dir='" +
        in("profile") + "' --print-to-pdf='" + in("page.pdf") + "' 'file://" + in("page.html") + "' >'" +
        in("said") + "' 2>&1";
    if (std::system(browser.c_str()) != 0) throw std::runtime_error("chromium: " + slurp(in("said")));
    const std::string info = "pdfinfo '" + in("page.pdf") + "' >'" + in("info") + "' 2>&1";
    if (std::system(info.c_str()) != 0) throw std::runtime_error("pdfinfo: " + slurp(in("info")));
    const std::string text = slurp(in("info"));
    std::smatch pages;
    std::smatch size;
    if (!std::regex_search(text, pages, std::regex("Pages: +([0-9]+)")) ||
        !std::regex_search(text, size, std::regex("Page size: +([^\n]+)")))
        throw std::runtime_error("pdfinfo said: " + text);
    return {std::stoi(pages[1]), size[1]};
}

}  // namespace mildway::testing
