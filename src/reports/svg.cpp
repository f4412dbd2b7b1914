#include "svg.hpp"

#include <fmt/format.h>

namespace mildway::reports::svg {

namespace {

std::string list(const std::vector<Point>& points) {
    std::string all;
    for (const Point& p : points) all += fmt::format("{}{:.1f},{:.1f}", all.empty() ? "" : " ", p.x, p.y);
    return all;
}

}  // namespace

std::string escape(std::string_view text) {
    std::string safe;
    for (const char letter : text) {
        switch (letter) {
            case '&':
                safe += "&amp;";
                break;
            case '<':
                safe += "&lt;";
                break;
            case '>':
                safe += "&gt;";
                break;
            case '"':
                safe += "&quot;";
                break;
            case '\'':
                safe += "&#39;";
                break;
            default:
                safe += letter;
        }
    }
    return safe;
}

std::string line(Point from, Point to, std::string_view style_class) {
    return fmt::format("<line class=\"{}\" x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\"/>\n",
                       style_class, from.x, from.y, to.x, to.y);
}

std::string polyline(const std::vector<Point>& points, std::string_view style_class) {
    return fmt::format("<polyline class=\"{}\" points=\"{}\"/>\n", style_class, list(points));
}

std::string polygon(const std::vector<Point>& points, std::string_view style_class) {
    return fmt::format("<polygon class=\"{}\" points=\"{}\"/>\n", style_class, list(points));
}

std::string rectangle(Point corner, double width, double height, std::string_view style_class) {
    return fmt::format("<rect class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\"/>\n",
                       style_class, corner.x, corner.y, width, height);
}

std::string text(Point at, std::string_view words, std::string_view style_class) {
    return fmt::format("<text class=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\">{}</text>\n", style_class, at.x, at.y,
                       escape(words));
}

std::string upward_text(Point at, std::string_view words, std::string_view style_class) {
    return fmt::format("<text class=\"{}\" transform=\"translate({:.1f},{:.1f}) rotate(-90)\">{}</text>\n",
                       style_class, at.x, at.y, escape(words));
}

}  // namespace mildway::reports::svg
