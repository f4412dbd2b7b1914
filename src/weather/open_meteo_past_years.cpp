// The same days of past years, from Open-Meteo's archive.
#include "mildway/base/errors.hpp"
#include "mildway/weather/open_meteo.hpp"

#include "asking.hpp"
#include "open_meteo_request.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

/// Fewer years do not show what a time of the year can be like (judgement).
constexpr std::size_t kFewestYears = 5;
/// The archive is 5 days late.
constexpr date::days kNotYetArchived{7};
/// What has been does not change; a year is asked for again now and then, in case it was corrected.
constexpr seconds kFreshFor{30 * 86400};
constexpr seconds kKeepFor{60 * 86400};

/// The days that are asked about, in one year.
struct Window {
    date::sys_days first;
    date::days count;
};

/// The same days some years ago: they begin on the same day of the calendar (28 February for the 29th).
Window years_before(const Window& window, int years) {
    const Date day(window.first);
    Date earlier = (day.year() - date::years(years)) / day.month() / day.day();
    if (!earlier.ok()) earlier = earlier.year() / earlier.month() / date::last;
    return {date::sys_days(earlier), window.count};
}

OpenMeteoProduct product_of(const Window& window, const OpenMeteoHosts& hosts) {
    OpenMeteoProduct product;
    product.address = hosts.archive + "/v1/archive";
    product.query = fmt::format(
        "&hourly=temperature_2m&start_date={}&end_date={}&timezone=GMT&timeformat=unixtime",
        format_date(Date(window.first)), format_date(Date(window.first + window.count - date::days(1))));
    product.api_key = hosts.api_key;
    product.basis = Basis::climate;
    product.fresh_for = kFreshFor;
    product.keep_for = kKeepFor;
    return product;
}

/// The temperatures of a year, or why they cannot be used.
struct Year {
    std::optional<Outlook> outlook;
    std::string reason;
};

Year read_year(const Place& place, const OpenMeteoPart& part, const Window& window) {
    if (part.text.empty()) return {std::nullopt, no_answer("Open-Meteo archive", *part.got)};
    try {
        Outlook outlook =
            parse_open_meteo(part.address, std::string(part.text), Basis::climate, part.got->fetched);
        refuse_other_place(outlook, place);
        const auto& series = outlook.temp_c.front();
        const bool whole = outlook.first_hour == window.first &&
                           outlook.hour_count() == static_cast<std::size_t>(hours(window.count).count()) &&
                           std::none_of(series.begin(), series.end(), [](double t) { return std::isnan(t); });
        if (!whole)
            return {std::nullopt, fmt::format("{}: it does not hold every hour of {} and the days after",
                                              part.address, format_date(Date(window.first)))};
        return {std::move(outlook), ""};
    } catch (const WeatherError& error) {
        return {std::nullopt, error.what()};
    }
}

Reading combine(std::vector<Year> years, const Window& window) {
    Outlook out;
    std::string reason;
    for (Year& year : years) {
        if (!year.outlook) {
            reason = year.reason;
            continue;
        }
        if (out.temp_c.empty()) {
            out = std::move(*year.outlook);
            out.fetched = out.issued;
            continue;
        }
        out.temp_c.push_back(std::move(year.outlook->temp_c.front()));
        out.issued = std::min(out.issued, year.outlook->issued);
        out.fetched = out.issued;
    }
    if (out.temp_c.size() < std::min(kFewestYears, years.size()) || out.temp_c.empty())
        return {std::nullopt,
                fmt::format("{} of {} past years can be used: {}", out.temp_c.size(), years.size(), reason)};
    if (!reason.empty())
        out.findings.push_back(
            fmt::format("only {} of {} past years can be used: {}", out.temp_c.size(), years.size(), reason));
    out.source = fmt::format("{} past years", kOpenMeteoName);
    out.first_hour = window.first;
    out.climate_from = out.first_hour;
    return {std::move(out), ""};
}

}  // namespace

OpenMeteoPastYears::OpenMeteoPastYears(const fetch::Fetcher* fetcher, OpenMeteoHosts hosts, int years)
    : fetcher_(fetcher), hosts_(std::move(hosts)), years_(years) {}

std::vector<Reading> OpenMeteoPastYears::read(std::span<const Place> places, Instant from, Instant to) const {
    const auto first = date::floor<date::days>(from);
    const Window wanted{first, std::max(date::days(1), date::ceil<date::days>(to) - first)};
    // the window may reach so far ahead that last year's days are not over yet
    const auto is_past = [&](const Window& w) {
        return w.first + w.count + kNotYetArchived <= fetcher_->now();
    };
    int latest = 1;
    while (!is_past(years_before(wanted, latest))) ++latest;
    std::vector<Window> windows;
    std::vector<OpenMeteoProduct> products;
    for (int y = latest; y < latest + years_; ++y) {
        windows.push_back(years_before(wanted, y));
        products.push_back(product_of(windows.back(), hosts_));
    }
    const OpenMeteoParts asked = ask_open_meteo(*fetcher_, products, places);
    std::vector<Reading> readings;
    for (std::size_t p = 0; p < places.size(); ++p) {
        std::vector<Year> years;
        for (std::size_t y = 0; y < windows.size(); ++y)
            years.push_back(read_year(places[p], asked.parts[y * places.size() + p], windows[y]));
        readings.push_back(combine(std::move(years), wanted));
    }
    return readings;
}

}  // namespace mildway::weather
