#include "plot.hpp"

#include "mildway/planning/explain.hpp"

#include "svg.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::reports {

PlotScale::PlotScale(const PlotFrame& frame, Instant from, Instant to, double low_c, double high_c,
                     double margin)
    : frame_(frame),
      from_(from),
      to_(to),
      low_c_(std::floor(low_c / kGridK - margin) * kGridK),
      high_c_(std::ceil(high_c / kGridK + margin) * kGridK) {}

double PlotScale::x(Instant when) const {
    const double all = std::max(1.0, static_cast<double>((to_ - from_).count()));
    const double width = frame_.width - frame_.left - frame_.right;
    return frame_.left + width * static_cast<double>((when - from_).count()) / all;
}

double PlotScale::y(double temp_c) const {
    const double height = frame_.height - frame_.top - frame_.bottom;
    return frame_.top + height * (high_c_ - temp_c) / (high_c_ - low_c_);
}

std::string temperature_axis(const PlotScale& scale, planning::TemperatureScale degrees) {
    const PlotFrame& frame = scale.frame();
    std::string all;
    const auto lines = static_cast<int>(std::lround((scale.high_c() - scale.low_c()) / kGridK));
    for (int i = 0; i <= lines; ++i) {
        const double temp_c = scale.low_c() + i * kGridK;
        const double y = scale.y(temp_c);
        all += svg::line({frame.left, y}, {frame.width - frame.right, y}, "grid");
        all += svg::text({frame.left - 6, y + 4}, planning::temperature_text(temp_c, degrees), "end");
    }
    return all;
}

std::string open_picture(const PlotFrame& frame, std::string_view title, std::string_view description) {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0:.0f} {1:.0f}\" width=\"{0:.0f}\" "
        "height=\"{1:.0f}\" role=\"img\" aria-labelledby=\"t d\">\n<title id=\"t\">{2}</title>\n"
        "<desc id=\"d\">{3}</desc>\n",
        frame.width, frame.height, svg::escape(title), svg::escape(description));
}

}  // namespace mildway::reports
