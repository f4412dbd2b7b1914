#include "mildway/learning/logger.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/units.hpp"

#include "count_of.hpp"
#include "logger_clock.hpp"
#include "logger_rows.hpp"
#include "logger_units.hpp"
#include "utf8_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

// Outside these no air around a parcel is, and no logger for it works (judgement).
constexpr double kColdest_c = -60;
constexpr double kWarmest_c = 80;
// A lone reading this far from both its neighbours, or a last one behind which the file breaks off, is no air
// temperature (judgement). Only where readings are this close.
constexpr double kSpike_k = 15;
constexpr double kCutValue_k = 2;
constexpr seconds kCloseReadings = minutes(20);
constexpr seconds kRepeatedHour = hours(1);

constexpr Instant kEarliest = date::sys_days{date::year{2000} / 1 / 1};
constexpr Instant kLatest = date::sys_days{date::year{2100} / 1 / 1};

double seconds_of(Instant when) {
    return static_cast<double>(when.time_since_epoch().count());
}

double in_celsius(double value, TempUnit unit) {
    return unit == TempUnit::celsius ? value : from_fahrenheit(value).value();
}

bool same_values(const LoggerRow& a, const LoggerRow& b) {
    const auto same = [](double x, double y) { return x == y || (std::isnan(x) && std::isnan(y)); };
    return same(a.values[kInside], b.values[kInside]) && same(a.values[kOutside], b.values[kOutside]);
}

/// One file on its way from rows to series.
class LogReader {
public:
    LogReader(const std::string& file, std::string_view text, const LoggerOptions& options)
        : file_(file), options_(options), layout_(find_layout(file, text, options)) {
        log_.file = file;
        log_.findings = layout_.findings;
        rows_ = read_rows(file, text, layout_, log_.findings);
    }

    LoggerLog read() {
        std::vector<Instant> times =
            layout_.time_kind == TimeKind::unix_s || layout_.time_kind == TimeKind::elapsed ? counted()
                                                                                            : stamped();
        drop_repeated(times);
        if (layout_.inside) log_.inside = series(*layout_.inside, kInside, times);
        if (layout_.outside) log_.outside = series(*layout_.outside, kOutside, times);
        return std::move(log_);
    }

private:
    [[noreturn]] void fail(int line, const std::string& expectation) const {
        throw InputError(file_, "", line, expectation);
    }
    void tell(std::string finding) { log_.findings.push_back(std::move(finding)); }

    /// Newest first is turned round.
    template <class Time>
    void put_in_order(std::vector<Time>& times) {
        std::ptrdiff_t forward = 0;
        for (std::size_t i = 1; i < times.size(); ++i)
            forward += times[i] > times[i - 1] ? 1 : times[i] < times[i - 1] ? -1 : 0;
        if (forward >= 0) return;
        std::reverse(times.begin(), times.end());
        std::reverse(rows_.rows.begin(), rows_.rows.end());
        rows_.last_line_is_open = false;
        tell("the newest reading comes first; read from the end");
    }

    std::vector<Instant> counted() {
        const bool elapsed = layout_.time_kind == TimeKind::elapsed;
        if (elapsed && layout_.elapsed_unit == seconds(0))
            fail(layout_.data_line - 1,
                 "does not say whether its times are seconds, minutes or hours; expected a name "
                 "such as 'Elapsed (s)'");
        if (elapsed && !options_.started)
            fail(layout_.data_line - 1,
                 "counts times from the beginning of the log; say when that was with --started");
        const double zero_s = elapsed ? seconds_of(*options_.started) : 0;
        std::vector<Instant> times;
        for (const LoggerRow& row : rows_.rows) {
            const double since_1970_s = std::floor(zero_s + row.number_s);
            if (!(since_1970_s >= seconds_of(kEarliest) && since_1970_s < seconds_of(kLatest))) {
                fail(row.line,
                     fmt::format(
                         "is at {:.0f} s since 1970; expected a time of the years 2000 to 2099: was the "
                         "logger's clock set?",
                         since_1970_s));
            }
            times.emplace_back(seconds(static_cast<std::int64_t>(since_1970_s)));
        }
        put_in_order(times);
        return times;
    }

    std::vector<Instant> stamped() {
        std::vector<Stamp> stamps;
        for (const LoggerRow& row : rows_.rows) stamps.push_back(row.stamp);
        auto civil = civil_times(file_, stamps, options_.dates, log_.findings);
        put_in_order(civil);
        const bool with_offset = rows_.rows.front().stamp.offset.has_value();
        for (const LoggerRow& row : rows_.rows) {
            if (row.stamp.offset.has_value() != with_offset)
                fail(row.line, fmt::format("has a time {} a zone, unlike the others",
                                           with_offset ? "without" : "with"));
        }
        if (with_offset || layout_.header_offset) return shifted(civil);
        if (!options_.zone_is_given)
            tell(fmt::format("times carry no zone and are taken as those of {} (--zone says otherwise)",
                             options_.zone->name()));
        return by_zone(civil);
    }

    [[nodiscard]] std::vector<Instant> shifted(const std::vector<date::local_seconds>& civil) const {
        std::vector<Instant> times;
        for (std::size_t i = 0; i < civil.size(); ++i) {
            const seconds offset =
                rows_.rows[i].stamp.offset ? *rows_.rows[i].stamp.offset : *layout_.header_offset;
            times.emplace_back(civil[i].time_since_epoch() - offset);
        }
        return times;
    }

    std::vector<Instant> by_zone(const std::vector<date::local_seconds>& civil) {
        std::vector<CivilTime> times;
        for (std::size_t i = 0; i < civil.size(); ++i) times.push_back({rows_.rows[i].line, civil[i]});
        // a line written twice is not the hour that comes twice, unless readings are an hour apart
        if (typical_step(times) < kRepeatedHour) drop_repeated(times);
        return to_instants(file_, times, *options_.zone);
    }

    static auto when_of(const CivilTime& time) { return time.when; }
    static auto when_of(Instant time) { return time; }

    /// Rows that repeat the one before are dropped; another value at the same time, or a step back, is a
    /// fault. Civil times may stand twice or go back: it is not known yet what that means.
    template <class Time>
    void drop_repeated(std::vector<Time>& times) {
        std::size_t kept = 0;
        for (std::size_t i = 0; i < times.size(); ++i) {
            const LoggerRow& row = rows_.rows[i];
            if (kept > 0 && when_of(times[i]) == when_of(times[kept - 1]) &&
                same_values(row, rows_.rows[kept - 1]))
                continue;
            if constexpr (std::is_same_v<Time, Instant>) {
                if (kept > 0 && times[i] <= times[kept - 1])
                    refuse_step_back(row, times[i], kept - 1, times[kept - 1]);
            }
            times[kept] = times[i];
            rows_.rows[kept++] = row;
        }
        const std::size_t dropped = times.size() - kept;
        if (dropped > 0)
            tell(count_of(dropped, "line repeats the one before and is passed over",
                          "lines repeat the one before and are passed over"));
        times.resize(kept);
        rows_.rows.resize(kept);
    }

    [[noreturn]] void refuse_step_back(const LoggerRow& row, Instant now, std::size_t before,
                                       Instant then) const {
        const int line = rows_.rows[before].line;
        if (now == then)
            fail(row.line,
                 fmt::format("has the time of line {} with another value; expected one value for each time",
                             line));
        fail(row.line, fmt::format("is earlier than line {} by {:.1f} minutes; expected times in order", line,
                                   60 * in_hours(then - now)));
    }

    LoggerSeries series(const TempColumn& column, std::size_t channel, const std::vector<Instant>& times) {
        std::vector<double> values;
        for (const LoggerRow& row : rows_.rows) {
            if (!std::isnan(row.values.at(channel))) values.push_back(row.values.at(channel));
        }
        const TempUnit unit =
            settle_unit(file_, {column.name, rows_.units.at(channel), options_.unit, channel == kInside},
                        values, log_.findings);
        LoggerSeries out{column.name, {}};
        for (std::size_t i = 0; i < times.size(); ++i) {
            const LoggerRow& row = rows_.rows[i];
            const double value = row.values.at(channel);
            if (std::isnan(value)) continue;
            const double temp_c = in_celsius(value, unit);
            if (!(temp_c >= kColdest_c && temp_c <= kWarmest_c)) {
                fail(row.line, fmt::format("{:g} in column '{}' is {:.1f} degC; expected {:g} to {:g}", value,
                                           column.name, temp_c, kColdest_c, kWarmest_c));
            }
            out.readings.push_back({times[i], temp_c});
        }
        drop_cut_value(out, times.back());
        drop_spikes(out);
        tell_gaps(out);
        return out;
    }

    /// "2" may be what is left of "21.5".
    void drop_cut_value(LoggerSeries& out, Instant last) {
        auto& readings = out.readings;
        if (!rows_.last_line_is_open || readings.size() < 2 || readings.back().when != last) return;
        const auto& before = readings[readings.size() - 2];
        if (readings.back().when - before.when > kCloseReadings ||
            std::abs(readings.back().temp_c - before.temp_c) <= kCutValue_k)
            return;
        readings.pop_back();
        tell(fmt::format("the last value of the column '{}' looks cut off and is passed over", out.name));
    }

    /// Beside the first and the last reading are the next two on one side.
    static bool is_spike(const std::vector<TempReading>& all, std::size_t i) {
        if (all.size() < 3) return false;
        const std::size_t middle = std::clamp<std::size_t>(i, 1, all.size() - 2);
        if (all[middle + 1].when - all[middle - 1].when > 2 * kCloseReadings) return false;
        const TempReading& one = all[i == middle - 1 ? middle : middle - 1];
        const TempReading& other = all[i == middle + 1 ? middle : middle + 1];
        const double up_k = all[i].temp_c - one.temp_c;
        const double down_k = all[i].temp_c - other.temp_c;
        return up_k * down_k > 0 && std::min(std::abs(up_k), std::abs(down_k)) > kSpike_k;
    }

    void drop_spikes(LoggerSeries& out) {
        std::vector<TempReading> kept;
        const auto& all = out.readings;
        for (std::size_t i = 0; i < all.size(); ++i) {
            if (!is_spike(all, i)) kept.push_back(all[i]);
        }
        if (const std::size_t dropped = all.size() - kept.size(); dropped > 0)
            tell(fmt::format(
                "the column '{}' has {} more than {:g} K away from the two readings next to it, passed over",
                out.name, count_of(dropped, "value", "values"), kSpike_k));
        out.readings = std::move(kept);
    }

    void tell_gaps(const LoggerSeries& out) {
        const seconds longest = kToldGapIntervals * out.interval();
        std::size_t gaps = 0;
        const TempReading* widest = nullptr;
        seconds width{0};
        for (std::size_t i = 1; i < out.readings.size(); ++i) {
            const seconds step = out.readings[i].when - out.readings[i - 1].when;
            if (step <= longest) continue;
            ++gaps;
            if (step > width) {
                width = step;
                widest = &out.readings[i - 1];
            }
        }
        if (gaps == 0) return;
        tell(fmt::format(
            "the column '{}' has {} gap{} longer than {} of its intervals, the longest from {} for {:.1f} h",
            out.name, gaps, gaps == 1 ? "" : "s", kToldGapIntervals, format_instant(widest->when),
            in_hours(width)));
    }

    const std::string& file_;
    const LoggerOptions& options_;
    LoggerLayout layout_;
    LoggerRows rows_;
    LoggerLog log_;
};

}  // namespace

seconds LoggerSeries::interval() const {
    std::vector<seconds> steps;
    for (std::size_t i = 1; i < readings.size(); ++i)
        steps.push_back(readings[i].when - readings[i - 1].when);
    if (steps.empty()) return seconds(0);
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
}

LoggerLog read_logger(const std::string& file, std::string_view bytes, const LoggerOptions& options) {
    const Utf8Text text(csv_text(file, bytes));
    LoggerLog log = LogReader(file, text.text(), options).read();
    if (text.replaced() > 0) {
        log.findings.push_back(count_of(text.replaced(), "byte is not of UTF-8 and is shown as \uFFFD",
                                        "bytes are not of UTF-8 and are shown as \uFFFD"));
    }
    return log;
}

}  // namespace mildway::learning
