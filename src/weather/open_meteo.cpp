#include "mildway/weather/open_meteo.hpp"

#include "mildway/base/errors.hpp"

#include "asking.hpp"
#include "open_meteo_memory.hpp"
#include "open_meteo_request.hpp"

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr std::string_view kClock = "&timezone=GMT&timeformat=unixtime";

/// One run of a model, the best for the place that the service knows (judgement).
constexpr double kForecastErrorFactor = 1.1;

/// One product of the service for many places, with what was said before.
class Asker {
public:
    Asker(const fetch::Fetcher& fetcher, OpenMeteoProduct product, std::string source, double error_factor)
        : fetcher_(fetcher),
          product_(std::move(product)),
          source_(std::move(source)),
          error_factor_(error_factor),
          memory_(&fetcher.cache(), product_.address + product_.query, product_.basis) {}

    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places) const {
        const OpenMeteoParts asked = ask_open_meteo(fetcher_, std::span(&product_, 1), places);
        std::vector<Reading> readings;
        for (std::size_t i = 0; i < places.size(); ++i) {
            try {
                readings.push_back(reading(places[i], asked.parts[i]));
            } catch (const WeatherError& error) {
                readings.push_back({std::nullopt, error.what()});
            }
        }
        return readings;
    }

private:
    [[nodiscard]] Reading reading(const Place& place, const OpenMeteoPart& part) const {
        const auto last = memory_.last(place);
        const bool just_come = !part.text.empty() && !part.got->kept;
        const bool last_is_newer = last && (part.text.empty() || last->fetched > part.got->fetched);
        if (!just_come && last_is_newer && fetcher_.now() - last->fetched <= product_.keep_for) {
            Outlook outlook = parse(place, part.address, last->text, last->fetched);
            outlook.issued = last->first_seen;
            note_kept_copy(outlook, place, part.got->trouble, last->fetched);
            return {std::move(outlook), ""};
        }
        if (part.text.empty()) return {std::nullopt, no_answer(source_, *part.got)};
        Outlook outlook = parse(place, part.address, std::string(part.text), part.got->fetched);
        outlook.issued = memory_.first_seen(outlook, last, part.got->fetched);
        if (just_come) remember(outlook, place, part);
        note_kept_copy(outlook, place, part.got->trouble, part.got->fetched);
        return {std::move(outlook), ""};
    }

    [[nodiscard]] Outlook parse(const Place& place, const std::string& address, const std::string& text,
                                Instant fetched) const {
        Outlook outlook = parse_open_meteo(address, text, product_.basis, fetched);
        refuse_other_place(outlook, place);
        outlook.source = source_;
        outlook.fetched = fetched;
        outlook.error_factor = error_factor_;
        return outlook;
    }

    void remember(Outlook& outlook, const Place& place, const OpenMeteoPart& part) const {
        try {
            memory_.keep(place, {std::string(part.text), part.got->fetched, outlook.issued});
        } catch (const SystemError& error) {
            outlook.findings.push_back(
                fmt::format("it cannot be noticed when {} stands still: {}", source_, error.what()));
        }
    }

    const fetch::Fetcher& fetcher_;
    OpenMeteoProduct product_;
    std::string source_;
    double error_factor_;
    OpenMeteoMemory memory_;
};

}  // namespace

OpenMeteoForecast::OpenMeteoForecast(const fetch::Fetcher* fetcher, OpenMeteoHosts hosts)
    : fetcher_(fetcher), hosts_(std::move(hosts)) {}

std::vector<Reading> OpenMeteoForecast::read(std::span<const Place> places) const {
    OpenMeteoProduct product;
    product.address = hosts_.forecast + "/v1/forecast";
    // seven variables over 16 days count as one call of the service's limits
    product.query = fmt::format(
        "&hourly=temperature_2m,cloud_cover,wind_speed_10m,wind_gusts_10m,snowfall,precipitation,weather_code"
        "&wind_speed_unit=ms&forecast_days=16{}",
        kClock);
    product.api_key = hosts_.api_key;
    return Asker(*fetcher_, std::move(product), name(), kForecastErrorFactor).read(places);
}

OpenMeteoEnsemble::OpenMeteoEnsemble(const fetch::Fetcher* fetcher, OpenMeteoHosts hosts)
    : fetcher_(fetcher), hosts_(std::move(hosts)) {}

std::vector<Reading> OpenMeteoEnsemble::read(std::span<const Place> places) const {
    OpenMeteoProduct product;
    product.address = hosts_.ensemble + "/v1/ensemble";
    // each member of each variable counts, so that temperature is all that is asked for
    product.query =
        fmt::format("&hourly=temperature_2m&models={}&forecast_days=15{}", hosts_.ensemble_model, kClock);
    product.api_key = hosts_.api_key;
    product.basis = Basis::ensemble;
    product.places_at_a_time = 10;  // 51 members of 15 days are 110 kB for each place
    return Asker(*fetcher_, std::move(product), name(), 1).read(places);
}

}  // namespace mildway::weather
