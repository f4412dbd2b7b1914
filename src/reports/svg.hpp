// The little SVG we need: escaped text, polygons and lines with numbers to a tenth.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace mildway::reports::svg {

struct Point {
    double x;
    double y;
};

/// & < > and quotes made safe for text and attributes.
[[nodiscard]] std::string escape(std::string_view text);

[[nodiscard]] std::string line(Point from, Point to, std::string_view style_class);
[[nodiscard]] std::string polyline(const std::vector<Point>& points, std::string_view style_class);
[[nodiscard]] std::string polygon(const std::vector<Point>& points, std::string_view style_class);
[[nodiscard]] std::string rectangle(Point corner, double width, double height, std::string_view style_class);
[[nodiscard]] std::string text(Point at, std::string_view words, std::string_view style_class);
[[nodiscard]] std::string upward_text(Point at, std::string_view words, std::string_view style_class);

}  // namespace mildway::reports::svg
