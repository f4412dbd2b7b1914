#include "mildway/weather/setup.hpp"

#include "mildway/base/files.hpp"
#include "mildway/base/version.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

namespace mildway::weather {

namespace {

constexpr std::array<std::string_view, 4> kSourceIds{"nws", "met-norway", "open-meteo",
                                                     "open-meteo-ensemble"};

/// Unencrypted only to this computer, for tests and mirrors of one's own.
bool is_safe_host(const std::string& url) {
    const auto begins = [&](const char* prefix) { return url.starts_with(prefix); };
    if (url.ends_with('/') || url.find_first_of(" \t\r\n?#@") != std::string::npos) return false;
    return (begins("https://") && url.size() > 8) || begins("http://127.0.0.1:") ||
           begins("http://localhost:");
}

void read_host(const ConfigNode& hosts, const char* key, std::string& url) {
    url = hosts.text_or(key, url);
    if (!is_safe_host(url)) {
        hosts.fail(key,
                   fmt::format("is '{}'; expected https://..., without a slash at its end (http only for "
                               "this computer)",
                               url));
    }
}

void read_hosts(const ConfigNode& hosts, WeatherSetup& setup) {
    read_host(hosts, "nws", setup.nws_url);
    read_host(hosts, "met-norway", setup.met_norway_url);
    read_host(hosts, "census", setup.census_url);
    read_host(hosts, "climate-normals", setup.normals_url);
    read_host(hosts, "open-meteo", setup.open_meteo.forecast);
    read_host(hosts, "open-meteo-ensemble", setup.open_meteo.ensemble);
    read_host(hosts, "open-meteo-archive", setup.open_meteo.archive);
    read_host(hosts, "open-meteo-places", setup.open_meteo_places_url);
    hosts.finish();
}

std::vector<SourceKind> read_sources(const ConfigNode& node) {
    std::vector<SourceKind> kinds;
    const std::vector<std::string> ids(kSourceIds.begin(), kSourceIds.end());
    for (const std::string& id : node.texts("sources")) {
        const auto kind = static_cast<SourceKind>(node.index_of("sources", "source", id, ids));
        if (std::find(kinds.begin(), kinds.end(), kind) != kinds.end())
            node.fail("sources", fmt::format("names '{}' twice", id));
        kinds.push_back(kind);
    }
    if (kinds.empty()) node.fail("sources", "is empty; expected at least one source");
    return kinds;
}

/// The paid service answers under its own names.
void use_customer_hosts(WeatherSetup& setup) {
    for (std::string* url : {&setup.open_meteo.forecast, &setup.open_meteo.ensemble,
                             &setup.open_meteo.archive, &setup.open_meteo_places_url}) {
        url->insert(std::string_view("https://").size(), "customer-");
    }
}

void read_open_meteo(const ConfigNode& node, const std::filesystem::path& folder, WeatherSetup& setup) {
    setup.open_meteo.ensemble_model = node.text_or("ensemble_model", setup.open_meteo.ensemble_model);
    const bool non_commercial = node.flag_or("my_use_is_not_commercial", false);
    if (node.has("api_key_file")) {
        try {
            setup.open_meteo.api_key = read_secret(folder / node.text("api_key_file"));
        } catch (const InputError& error) {
            node.fail("api_key_file", error.what());
        }
        use_customer_hosts(setup);
    }
    setup.open_meteo_allowed = non_commercial || !setup.open_meteo.api_key.empty();
    node.finish();
}

bool needs_open_meteo(const WeatherSetup& setup) {
    return setup.beyond == Beyond::past_years ||
           std::any_of(setup.sources.begin(), setup.sources.end(), [](SourceKind kind) {
               return kind == SourceKind::open_meteo || kind == SourceKind::open_meteo_ensemble;
           });
}

}  // namespace

std::string_view source_id(SourceKind kind) {
    return kSourceIds[static_cast<std::size_t>(kind)];
}

WeatherSetup WeatherSetup::read(const ConfigNode& node, const std::filesystem::path& folder) {
    WeatherSetup setup;
    setup.contact = node.text_or("contact", "");
    if (node.has("sources")) setup.sources = read_sources(node);
    if (node.has("ask")) setup.ask_all = node.choice("ask", {"all", "first"}) == 0;
    setup.stale_after = hours(node.whole("stale_after_hours", 1, 72));
    if (node.has("beyond_forecast")) {
        setup.beyond =
            static_cast<Beyond>(node.choice("beyond_forecast", {"nothing", "climate-normals", "past-years"}));
    }
    if (node.has("gazetteers")) {
        for (const std::string& file : node.texts("gazetteers")) setup.gazetteers.push_back(folder / file);
    }
    if (node.has("open_meteo")) read_open_meteo(node.object("open_meteo"), folder, setup);
    if (node.has("hosts")) read_hosts(node.object("hosts"), setup);
    if (needs_open_meteo(setup) && !setup.open_meteo_allowed) {
        node.fail("open_meteo",
                  "is needed to use Open-Meteo. Its free service is for non-commercial use only, and selling "
                  "animals may not be: give \"api_key_file\" with a key of yours, or declare "
                  "\"my_use_is_not_commercial\": true");
    }
    node.finish();
    return setup;
}

std::string contact_fault(const std::string& contact) {
    if (contact.empty()) return "is missing";
    const bool plain = std::all_of(contact.begin(), contact.end(), [](char c) { return c > ' ' && c < 127; });
    if (!plain || contact.find_first_of("()\"\\") != std::string::npos)
        return fmt::format("is '{}', which is no plain address", contact);
    if (contact.find('@') == std::string::npos && !contact.starts_with("https://"))
        return fmt::format("is '{}', which is neither an e-mail nor a web address", contact);
    for (const char* reserved : {"example.org", "example.com", "example.net", ".example", ".invalid"}) {
        if (contact.ends_with(reserved)) return fmt::format("is '{}', an example", contact);
    }
    return "";
}

std::string WeatherSetup::user_agent(const std::string& file) const {
    if (const std::string fault = contact_fault(contact); !fault.empty()) {
        throw InputError(file, "/weather/contact", 0,
                         fmt::format("{}; expected an e-mail or https address of yours: the weather services "
                                     "ask for one and block programs that give none",
                                     fault));
    }
    return fmt::format("mildway/{} ({})", version(), contact);
}

}  // namespace mildway::weather
