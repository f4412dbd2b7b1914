#include "logger_clock.hpp"

#include "mildway/base/errors.hpp"

#include <algorithm>
#include <optional>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

std::string civil_text(date::local_seconds when) {
    return date::format("%F %H:%M", when);
}

/// What to give as --zone for a clock that stays this far from UTC. The signs of Etc zones are turned round.
std::string fixed_zone(seconds offset) {
    if (offset % hours(1) != seconds(0)) return "a zone of a fixed offset";
    return fmt::format("--zone Etc/GMT{:+d}", -offset / hours(1));
}

/// Turns the times of one file into instants, from first to last.
class Clock {
public:
    Clock(const std::string& file, const std::vector<CivilTime>& times, const date::time_zone& zone)
        : file_(file), times_(times), zone_(zone), typical_(typical_step(times)) {}

    std::vector<Instant> read() {
        instants_.reserve(times_.size());
        while (instants_.size() < times_.size()) {
            const CivilTime& time = times_[instants_.size()];
            const date::local_info info = zone_.get_info(time.when);
            if (info.result == date::local_info::nonexistent) refuse_skipped(time, info);
            if (info.result == date::local_info::ambiguous) {
                read_twice(info);
            } else {
                instants_.push_back(at(time, info.first));
            }
        }
        return std::move(instants_);
    }

private:
    [[nodiscard]] static Instant at(const CivilTime& time, const date::sys_info& info) {
        return Instant(time.when.time_since_epoch() - info.offset);
    }

    /// All readings in a row that lie in the hour that comes twice.
    void read_twice(const date::local_info& info) {
        const std::size_t begin = instants_.size();
        std::size_t end = begin;
        std::vector<std::size_t> back;  // where the times do not go on
        for (; end < times_.size() && is_twice(times_[end], info); ++end) {
            if (end > begin && times_[end].when <= times_[end - 1].when) back.push_back(end);
        }
        if (back.size() > 1) {
            refuse_unclear(times_[back[1]], info, "its times go back more than once in that hour");
        }
        const std::size_t split = back.empty() ? whole_block(begin, end, info) : back.front();
        for (std::size_t i = begin; i < end; ++i)
            instants_.push_back(at(times_[i], i < split ? info.first : info.second));
    }

    [[nodiscard]] static bool is_twice(const CivilTime& time, const date::local_info& info) {
        const auto second_begins =
            date::local_seconds(info.second.begin.time_since_epoch() + info.second.offset);
        const auto first_ends = date::local_seconds(info.first.end.time_since_epoch() + info.first.offset);
        return time.when >= second_begins && time.when < first_ends;
    }

    /// Where the second hour begins in a block without a step back: at its beginning or at its end.
    [[nodiscard]] std::size_t whole_block(std::size_t begin, std::size_t end,
                                          const date::local_info& info) const {
        const bool first = goes_on(begin, end, info.first);
        const bool second = goes_on(begin, end, info.second);
        if (first == second) {
            refuse_unclear(times_[begin], info,
                           first ? "the readings about it do not tell which"
                                 : "with either there is a step that is longer than the others");
        }
        return first ? end : begin;
    }

    /// Whether the block runs on from what is before it and to what comes after without a longer step.
    [[nodiscard]] bool goes_on(std::size_t begin, std::size_t end, const date::sys_info& info) const {
        const auto short_enough = [&](Instant from, Instant to) {
            return to > from && 2 * (to - from) <= 3 * typical_;
        };
        if (begin > 0 && !short_enough(instants_[begin - 1], at(times_[begin], info))) return false;
        if (end == times_.size()) return true;
        const date::local_info after = zone_.get_info(times_[end].when);
        return short_enough(at(times_[end - 1], info), at(times_[end], after.first));
    }

    [[noreturn]] void refuse_skipped(const CivilTime& time, const date::local_info& info) const {
        throw InputError(
            file_, "", time.line,
            fmt::format("is at {}, which no clock in {} shows: they go forward then. If the logger's "
                        "clock does not, give a zone without summer time: {}",
                        civil_text(time.when), zone_.name(), fixed_zone(info.first.offset)));
    }

    [[noreturn]] void refuse_unclear(const CivilTime& time, const date::local_info& info,
                                     std::string_view why) const {
        throw InputError(
            file_, "", time.line,
            fmt::format(
                "is at {}, which clocks in {} show twice, and {}. If the logger's clock does not go back, "
                "give a zone without summer time: {} if it was set in winter, {} if in summer",
                civil_text(time.when), zone_.name(), why, fixed_zone(info.second.offset),
                fixed_zone(info.first.offset)));
    }

    const std::string& file_;
    const std::vector<CivilTime>& times_;
    const date::time_zone& zone_;
    seconds typical_;
    std::vector<Instant> instants_;
};

}  // namespace

seconds typical_step(const std::vector<CivilTime>& times) {
    std::vector<seconds> steps;
    for (std::size_t i = 1; i < times.size(); ++i) {
        if (times[i].when > times[i - 1].when) steps.push_back(times[i].when - times[i - 1].when);
    }
    if (steps.empty()) return seconds(0);
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    return *middle;
}

std::vector<Instant> to_instants(const std::string& file, const std::vector<CivilTime>& times,
                                 const date::time_zone& zone) {
    return Clock(file, times, zone).read();
}

}  // namespace mildway::learning
