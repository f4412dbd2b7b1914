#include "stretches.hpp"

#include "mildway/base/errors.hpp"

#include "count_of.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

#include <fmt/format.h>

namespace mildway::learning {

namespace {

// A box of half an hour to an hour of memory may do anything within an hour without readings.
constexpr seconds kLongestGap = hours(1);
// Judgement: what is left of a shorter stretch when its beginning is forgotten tells little.
constexpr seconds kShortestStretch = hours(2);
constexpr seconds kShortestLog = hours(6);
constexpr std::size_t kMostStretches = 20;
constexpr std::size_t kMostReadings = 10000;   // a week of minutes; neighbours say much the same
constexpr seconds kLongestStep = minutes(10);  // the warmers' output is taken as straight within a step

using Readings = std::vector<TempReading>;

double between(const TempReading& a, const TempReading& b, Instant when) {
    const double share = in_hours(when - a.when) / in_hours(b.when - a.when);
    return a.temp_c + share * (b.temp_c - a.temp_c);
}

/// The air around, at any time that it is known at.
class KnownAir {
public:
    explicit KnownAir(const FitRequest& request) : request_(request) {
        const auto& readings = request.outside.readings;
        if (request.around_c) return;
        if (readings.empty()) throw InputError(request.file, "", 0, "says nothing of the air around the box");
        if (request.outside.interval() > kLongestGap) {
            throw InputError(
                request.file, "", 0,
                fmt::format("readings of the air around are {:.1f} h apart; expected at most an hour",
                            in_hours(request.outside.interval())));
        }
    }

    /// Not beyond the readings, and not within a gap.
    [[nodiscard]] bool known_at(Instant when) const {
        if (request_.around_c) return true;
        const auto after = first_not_before(when);
        if (after == all().end()) return false;
        if (after->when == when) return true;
        return after != all().begin() && after->when - (after - 1)->when <= kLongestGap;
    }

    /// Whether it is known from one time to another, both of which are known.
    [[nodiscard]] bool known_between(Instant from, Instant to) const {
        if (request_.around_c) return true;
        for (auto at = first_not_before(from); at != all().end() && at->when < to; ++at) {
            if (at + 1 != all().end() && (at + 1)->when - at->when > kLongestGap) return false;
        }
        return true;
    }

    [[nodiscard]] double at(Instant when) const {
        if (request_.around_c) return *request_.around_c;
        const auto after = first_not_before(when);
        return after->when == when ? after->temp_c : between(*(after - 1), *after, when);
    }

    [[nodiscard]] Readings within(Instant from, Instant to) const {
        Readings found;
        if (request_.around_c) return found;
        for (auto at = first_not_before(from); at != all().end() && at->when < to; ++at) {
            if (at->when > from) found.push_back(*at);
        }
        return found;
    }

private:
    [[nodiscard]] const Readings& all() const { return request_.outside.readings; }
    [[nodiscard]] Readings::const_iterator first_not_before(Instant when) const {
        return std::lower_bound(all().begin(), all().end(), when,
                                [](const TempReading& reading, Instant t) { return reading.when < t; });
    }

    const FitRequest& request_;
};

class Cutter {
public:
    Cutter(const FitRequest& request, std::vector<std::string>& findings)
        : request_(request),
          findings_(findings),
          around_(request),
          packed_(request.packed.value_or(request.inside.readings.front().when)) {}

    Stretches cut() {
        if (request_.inside.interval() > kLongestGap) {
            fail(fmt::format("readings are {:.1f} h apart; expected at most an hour",
                             in_hours(request_.inside.interval())));
        }
        const std::vector<Readings> pieces = long_enough(split(usable()));
        check(pieces);
        std::size_t readings = 0;
        for (const Readings& piece : pieces) readings += piece.size();
        const std::size_t every = (readings + kMostReadings - 1) / kMostReadings;
        if (every > 1)
            tell(fmt::format("of {} readings every {}. is used: neighbours say much the same", readings,
                             every));
        for (const Readings& piece : pieces) add(piece, every);
        finish(every);
        return std::move(out_);
    }

private:
    [[noreturn]] void fail(const std::string& why) const { throw InputError(request_.file, "", 0, why); }
    void tell(std::string finding) { findings_.push_back(std::move(finding)); }

    void tell_left_out(std::size_t count, const char* which, const char* why) {
        if (count == 0) return;
        tell(fmt::format("{} {}{} left out{}", count_of(count, "reading", "readings"), which,
                         count == 1 ? "is" : "are", why));
    }

    Readings usable() {
        Readings kept;
        std::size_t early = 0;
        std::size_t late = 0;
        std::size_t unknown = 0;
        for (const TempReading& reading : request_.inside.readings) {
            if (reading.when < packed_) {
                ++early;
            } else if (request_.opened && reading.when >= *request_.opened) {
                ++late;
            } else if (!around_.known_at(reading.when)) {
                ++unknown;
            } else {
                kept.push_back(reading);
            }
        }
        tell_left_out(early, "from before the box was closed ", "");
        tell_left_out(late, "from after the box was opened ", "");
        tell_left_out(unknown, "",
                      " because the air around is not known then, or only across more than an hour");
        if (kept.empty() && unknown == 0)
            fail("has no reading while the box was closed (--packed, --opened)");
        if (kept.empty())
            fail("has no reading at a time at which the air around is known; is one of the clocks off?");
        return kept;
    }

    [[nodiscard]] std::vector<Readings> split(const Readings& readings) const {
        std::vector<Readings> pieces(1);
        for (const TempReading& reading : readings) {
            if (!pieces.back().empty()) {
                const Instant before = pieces.back().back().when;
                if (reading.when - before > kLongestGap || !around_.known_between(before, reading.when))
                    pieces.emplace_back();
            }
            pieces.back().push_back(reading);
        }
        return pieces;
    }

    static seconds length(const Readings& piece) { return piece.back().when - piece.front().when; }

    std::vector<Readings> long_enough(std::vector<Readings> pieces) {
        const std::size_t before = pieces.size();
        const auto is_short = [](const Readings& piece) { return length(piece) < kShortestStretch; };
        pieces.erase(std::remove_if(pieces.begin(), pieces.end(), is_short), pieces.end());
        if (pieces.size() < before) {
            const std::size_t dropped = before - pieces.size();
            tell(fmt::format("{} of less than {} hours between gaps {} left out",
                             count_of(dropped, "stretch", "stretches"), kShortestStretch / hours(1),
                             dropped == 1 ? "is" : "are"));
        }
        if (pieces.size() > 1)
            tell(fmt::format(
                "gaps of more than an hour cut the log into {} stretches, each fitted from its own "
                "beginning",
                pieces.size()));
        return pieces;
    }

    void check(const std::vector<Readings>& pieces) const {
        seconds total(0);
        for (const Readings& piece : pieces) total += length(piece);
        if (total < kShortestLog) {
            fail(fmt::format("holds {:.1f} h that can be used; expected {} or more", in_hours(total),
                             kShortestLog / hours(1)));
        }
        if (pieces.size() > kMostStretches)
            fail(fmt::format("is cut by gaps into {} stretches; expected at most {}", pieces.size(),
                             kMostStretches));
    }

    void add(const Readings& piece, std::size_t every) {
        Stretch stretch;
        stretch.first_reading = out_.measured_c.size();
        Instant before = piece.front().when;
        for (std::size_t i = 0; i < piece.size(); i += every) {
            const TempReading& reading = piece[i];
            for (const TempReading& outside : around_.within(before, reading.when)) {
                step_to(stretch, outside.when, outside.temp_c);
            }
            step_to(stretch, reading.when, around_.at(reading.when));
            stretch.points.back().reading = out_.measured_c.size();
            out_.measured_c.push_back(reading.temp_c);
            out_.when.push_back(reading.when);
            before = reading.when;
        }
        stretch.end_reading = out_.measured_c.size();
        out_.all.push_back(std::move(stretch));
    }

    /// Adds a point, and others before it where the step would be long.
    void step_to(Stretch& stretch, Instant when, double ambient_c) const {
        const double to_s = 3600 * in_hours(when - packed_);
        if (!stretch.points.empty()) {
            const GridPoint last = stretch.points.back();
            const auto longest_s = static_cast<double>(kLongestStep.count());
            const int steps = static_cast<int>((to_s - last.since_packed_s - 1e-9) / longest_s) + 1;
            for (int i = 1; i < steps; ++i) {
                const double share = static_cast<double>(i) / steps;
                stretch.points.push_back({last.since_packed_s + share * (to_s - last.since_packed_s),
                                          last.ambient_c + share * (ambient_c - last.ambient_c), kNoReading});
            }
        }
        stretch.points.push_back({to_s, ambient_c, kNoReading});
    }

    void finish(std::size_t every) {
        const auto n = static_cast<double>(out_.measured_c.size());
        out_.mean_inside_c = std::accumulate(out_.measured_c.begin(), out_.measured_c.end(), 0.0) / n;
        for (const Instant when : out_.when) out_.mean_outside_c += around_.at(when) / n;
        out_.interval = static_cast<std::int64_t>(every) * request_.inside.interval();
    }

    const FitRequest& request_;
    std::vector<std::string>& findings_;
    KnownAir around_;
    Instant packed_;
    Stretches out_;
};

}  // namespace

Stretches cut_into_stretches(const FitRequest& request, std::vector<std::string>& findings) {
    return Cutter(request, findings).cut();
}

}  // namespace mildway::learning
