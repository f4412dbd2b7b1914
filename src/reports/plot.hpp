// What the drawings of temperatures over time have in common.
#pragma once

#include "mildway/base/time.hpp"
#include "mildway/planning/workspace.hpp"

#include <string>
#include <string_view>

namespace mildway::reports {

/// A picture and the margins of the plot in it.
struct PlotFrame {
    double width;
    double height;
    double left;
    double right;
    double top;
    double bottom;
};

/// Grid lines stand every so many kelvins.
inline constexpr double kGridK = 5;

/// Maps times and temperatures to the picture.
class PlotScale {
public:
    /// The temperatures are widened to grid lines with at least `margin` of a grid step to spare.
    PlotScale(const PlotFrame& frame, Instant from, Instant to, double low_c, double high_c, double margin);

    [[nodiscard]] double x(Instant when) const;
    [[nodiscard]] double y(double temp_c) const;
    [[nodiscard]] double low_c() const { return low_c_; }
    [[nodiscard]] double high_c() const { return high_c_; }
    [[nodiscard]] Instant from() const { return from_; }
    [[nodiscard]] Instant to() const { return to_; }
    [[nodiscard]] const PlotFrame& frame() const { return frame_; }

private:
    PlotFrame frame_;
    Instant from_;
    Instant to_;
    double low_c_;
    double high_c_;
};

/// Grid lines (class "grid") with their temperatures.
[[nodiscard]] std::string temperature_axis(const PlotScale& scale, planning::TemperatureScale degrees);

/// The opening tag with what a reader of the screen is told.
[[nodiscard]] std::string open_picture(const PlotFrame& frame, std::string_view title,
                                       std::string_view description);

}  // namespace mildway::reports
