// The weather services as the program meets them, served from this computer: the demo's forecasts behind the
// addresses and shapes of api.weather.gov, and the same air as MET Norway would tell it.
#pragma once

#include "mildway/planning/workspace.hpp"
#include "mildway/weather/recorded.hpp"

#include "command.hpp"
#include "http_server.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <mutex>
#include <optional>

#include <fmt/format.h>

namespace mildway::testing {

class LiveServices {
public:
    /// What to answer instead; nothing: the usual.
    using Instead = std::function<std::optional<Reply>(const Seen&)>;

    explicit LiveServices(std::vector<std::string> sources = {"nws"})
        : demo_(MILDWAY_SOURCE_DIR "/fixtures/demo/weather"), server_([this](const Seen& seen) {
              const std::lock_guard lock(mutex_);
              if (instead_) {
                  if (auto reply = instead_(seen)) return dated(std::move(*reply));
              }
              return dated(usual(seen));
          }) {
        workspace_.edit_json("workspace.json", [&](nlohmann::ordered_json& json) {
            auto& weather = json["weather"];
            weather["sources"] = sources;
            weather["beyond_forecast"] = "nothing";
            for (const char* host : {"nws", "met-norway", "census", "climate-normals"})
                weather["hosts"][host] = server_.url();
        });
    }

    void answer_instead(Instead instead) {
        const std::lock_guard lock(mutex_);
        instead_ = std::move(instead);
    }

    /// Replaces answers whose address holds `part`. An answer that never comes is not waited for long.
    void answer(const std::string& part, const Reply& reply) {
        if (reply.fault == Fault::hang) patience_ = fetch::milliseconds(3'000);
        answer_instead([=](const Seen& seen) -> std::optional<Reply> {
            if (seen.target.find(part) == std::string::npos) return std::nullopt;
            return reply;
        });
    }

    /// Changes the gridpoint answers of one place ("duluth").
    void change(const std::string& slug, const std::function<void(nlohmann::ordered_json&)>& edit) {
        auto json = nlohmann::ordered_json::parse(forecast_file(slug));
        edit(json);
        answer("/gridpoints/" + slug, {.body = json.dump(), .content_type = "application/geo+json"});
    }

    [[nodiscard]] TempWorkspace& workspace() { return workspace_; }
    [[nodiscard]] const TempWorkspace& workspace() const { return workspace_; }
    [[nodiscard]] std::size_t asked() const { return server_.seen().size(); }
    [[nodiscard]] std::vector<Seen> seen() const { return server_.seen(); }
    [[nodiscard]] std::string url() const { return server_.url(); }

    Outcome run(Arguments arguments, const char* clock = kMonday) {
        arguments.insert(arguments.begin(), {"--workspace", workspace_.name()});
        std::ostringstream out;
        std::ostringstream err;
        fetch::CurlOptions network;
        network.answer_time = patience_;
        network.silence = patience_;
        network.first_wait = fetch::milliseconds(5);
        network.longest_wait = fetch::milliseconds(50);
        cli::Console console{
            out, err, [clock] { return parse_instant(clock).value(); }, 2, cache_.path() / "kept", network};
        const int code = cli::run(arguments, console);
        return {code, out.str(), err.str()};
    }

    Outcome plan(const Arguments& more = {}, const char* clock = kMonday) {
        Arguments arguments{"plan", "--to", "Duluth MN", "--species", "corn snake"};
        if (std::find(more.begin(), more.end(), "--days") == more.end())
            arguments.insert(arguments.end(), {"--days", "3"});
        return run(quick(std::move(arguments), more), clock);
    }

    [[nodiscard]] const std::filesystem::path& cache() const { return cache_.path(); }

    /// Bytes of a demo forecast.
    static std::string forecast_file(const std::string& slug) {
        return slurp(MILDWAY_SOURCE_DIR "/fixtures/demo/weather/" + slug + ".json");
    }

private:
    fetch::milliseconds patience_{20'000};  ///< for machines that are busy
    static constexpr const char* kDate = "Date: Mon, 01 Mar 2027 13:00:00 GMT";

    static Reply dated(Reply reply) {
        reply.headers.emplace_back(kDate);
        return reply;
    }

    static std::string slug_of(const Place& place) {
        std::string slug = place.name.substr(0, place.name.size() - 3);
        std::string out;
        for (const char c : slug) {
            if (c == ' ') out += '-';
            if (std::isalpha(static_cast<unsigned char>(c)) != 0)
                out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        }
        return out;
    }

    [[nodiscard]] std::optional<Place> place_near(double latitude_deg, double longitude_deg) const {
        const Place here{"here", latitude_deg, longitude_deg, ""};
        for (const Place& place : places_) {
            if (distance_km(place, here) < 5) return place;
        }
        return std::nullopt;
    }

    [[nodiscard]] Reply usual(const Seen& seen) const {
        double latitude_deg = 0;
        double longitude_deg = 0;
        if (std::sscanf(seen.target.c_str(), "/points/%lf,%lf", &latitude_deg, &longitude_deg) == 2)
            return point(latitude_deg, longitude_deg);
        if (seen.target.starts_with("/gridpoints/")) return gridpoint(seen.target.substr(12));
        if (seen.target.starts_with("/alerts/active"))
            return {.body = R"({"type": "FeatureCollection", "features": []})",
                    .content_type = "application/geo+json"};
        const auto lat = seen.target.find("lat=");
        const auto lon = seen.target.find("lon=");
        if (seen.target.starts_with("/weatherapi/") && lat != std::string::npos && lon != std::string::npos)
            return met_norway(std::stod(seen.target.substr(lat + 4)), std::stod(seen.target.substr(lon + 4)));
        return problem(404, "NotFound", "Not Found");
    }

    static Reply problem(int status, const std::string& type, const std::string& title) {
        return {
            .status = status,
            .body = fmt::format(
                R"({{"type": "https://api.weather.gov/problems/{}", "title": "{}", "status": {}, "detail": "made for a test"}})",
                type, title, status),
            .content_type = "application/problem+json"};
    }

    [[nodiscard]] Reply point(double latitude_deg, double longitude_deg) const {
        const auto place = place_near(latitude_deg, longitude_deg);
        if (!place) return problem(404, "InvalidPoint", "Data Unavailable For Requested Point");
        return {
            .body = fmt::format(
                R"({{"properties": {{"gridId": "TST", "gridX": 1, "gridY": 1, "forecastGridData": "{}/gridpoints/{}", "timeZone": "{}", "type": "land"}}}})",
                server_.url(), slug_of(*place), place->zone),
            .content_type = "application/geo+json"};
    }

    static Reply gridpoint(const std::string& slug) {
        const std::string text = forecast_file(slug);
        if (text.empty()) return problem(404, "NotFound", "Not Found");
        return {.body = text,
                .content_type = "application/geo+json",
                .headers = {"Last-Modified: Mon, 01 Mar 2027 10:12:00 GMT"}};
    }

    [[nodiscard]] Reply met_norway(double latitude_deg, double longitude_deg) const {
        const auto place = place_near(latitude_deg, longitude_deg);
        if (!place) return {.status = 422, .body = "outside", .content_type = "text/plain"};
        const weather::Outlook outlook = demo_.outlook(*place);
        nlohmann::ordered_json steps = nlohmann::ordered_json::array();
        for (std::size_t i = 0; i < outlook.hour_count(); ++i) {
            const Instant hour = outlook.first_hour + hours(static_cast<int>(i));
            if (hour > outlook.issued + hours(60) && (hour.time_since_epoch() / hours(1)) % 6 != 0) continue;
            steps.push_back({{"time", format_instant(hour)},
                             {"data",
                              {{"instant",
                                {{"details",
                                  {{"air_temperature", std::round(outlook.temp_c.front()[i] * 10) / 10 + 0.5},
                                   {"wind_speed", 3.0}}}}}}}});
        }
        const nlohmann::ordered_json json{
            {"type", "Feature"},
            {"geometry",
             {{"type", "Point"}, {"coordinates", {place->longitude_deg, place->latitude_deg, 300}}}},
            {"properties",
             {{"meta",
               {{"updated_at", "2027-03-01T11:00:00Z"},
                {"units", {{"air_temperature", "celsius"}, {"wind_speed", "m/s"}}}}},
              {"timeseries", steps}}}};
        return {.body = json.dump()};
    }

    std::vector<Place> places_ = planning::Workspace::load(MILDWAY_SOURCE_DIR "/config").places;
    weather::RecordedSource demo_;
    TempFolder cache_;
    TempWorkspace workspace_;
    std::mutex mutex_;
    Instead instead_;
    HttpServer server_;
};

}  // namespace mildway::testing
