#include "mildway/care/rules.hpp"

#include "limits.hpp"

#include <algorithm>
#include <cctype>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::care {

namespace {

constexpr Bounds kShellBounds{5, 2000};  // mm; the largest tortoises pass a metre

std::vector<std::string> read_regions(const ConfigNode& node, std::string_view key) {
    if (!node.has(key)) return {};
    std::vector<std::string> regions = node.texts(key);
    if (regions.empty()) node.fail(key, "is empty; leave the key out where there is no limit");
    for (const std::string& region : regions) {
        if (!is_region(region))
            node.fail(key, "'" + region +
                               "' is no region; expected a country or a part of one, by ISO 3166: " +
                               "\"US\", \"US-MN\"");
    }
    return regions;
}

std::string_view country_of(std::string_view region) {
    return region.substr(0, region.find('-'));
}

/// What is known of two regions being one state of a country: "US" and "US-MN" may be.
enum class Same { no, unknown, yes };

Same same_state(const std::string& a, const std::string& b) {
    if (a.empty() || b.empty()) return Same::unknown;
    if (country_of(a) != country_of(b)) return Same::no;
    if (a == b) return a.find('-') == std::string::npos ? Same::unknown : Same::yes;
    const bool both_told = a.find('-') != std::string::npos && b.find('-') != std::string::npos;
    return both_told ? Same::no : Same::unknown;
}

Same same_country(const std::string& a, const std::string& b) {
    if (a.empty() || b.empty()) return Same::unknown;
    return country_of(a) == country_of(b) ? Same::yes : Same::no;
}

/// Whether a region is one of those listed, or lies in one.
Same is_among(const std::string& region, const std::vector<std::string>& listed) {
    if (region.empty()) return Same::unknown;
    Same best = Same::no;
    for (const std::string& one : listed) {
        if (one == region || one == country_of(region)) return Same::yes;
        if (country_of(one) == region) best = Same::unknown;  // only the country is known
    }
    return best;
}

Same opposite(Same is) {
    if (is == Same::unknown) return is;
    return is == Same::yes ? Same::no : Same::yes;
}

/// Whether the way leaves the origin's state, or country, anywhere.
template <class SameAs>
Same leaves(const Shipment& shipment, SameAs same_as) {
    Same left = opposite(same_as(shipment.origin, shipment.destination));
    for (const std::string& between : shipment.by_way_of) {
        const Same here = opposite(same_as(shipment.origin, between));
        if (here == Same::yes) return here;
        if (here == Same::unknown && left == Same::no) left = here;
    }
    return left;
}

/// "shell 48 mm is", "2 of 3 shells (48 and 51 mm) are".
std::string small_shells(const std::vector<double>& small, std::size_t of) {
    std::vector<std::string> all;
    for (const double mm : small) all.push_back(fmt::format("{:.6g}", mm));
    if (of == 1) return fmt::format("Shell {} mm is", all.front());
    return fmt::format("{} of {} shells ({} mm) {}", small.size(), of, fmt::join(all, ", "),
                       small.size() == 1 ? "is" : "are");
}

}  // namespace

bool is_region(std::string_view text) {
    constexpr std::size_t kCountry = 2;
    constexpr std::size_t kLongest = 6;  // ISO 3166-2: up to three letters or digits after the hyphen
    const auto capital = [](char c) { return c >= 'A' && c <= 'Z'; };
    if (text.size() < kCountry || !capital(text[0]) || !capital(text[1])) return false;
    if (text.size() == kCountry) return true;
    if (text[kCountry] != '-' || text.size() == kCountry + 1 || text.size() > kLongest) return false;
    return std::all_of(text.begin() + kCountry + 1, text.end(),
                       [&](char c) { return capital(c) || (c >= '0' && c <= '9'); });
}

bool RuleBook::Entry::is_about(const Species& animal) const {
    return allows(groups, animal.group) && allows(species, animal.id) &&
           (not_species.empty() || !allows(not_species, animal.id));
}

bool RuleBook::Entry::limits_lane() const {
    return !origin.empty() || !not_origin.empty() || !destination.empty() || crosses_state_line ||
           crosses_border;
}

RuleBook::Applies RuleBook::Entry::on_lane(const Shipment& shipment) const {
    std::vector<Same> all;
    if (!origin.empty()) all.push_back(is_among(shipment.origin, origin));
    if (!not_origin.empty()) all.push_back(opposite(is_among(shipment.origin, not_origin)));
    if (!destination.empty()) all.push_back(is_among(shipment.destination, destination));
    if (crosses_state_line) all.push_back(leaves(shipment, same_state));
    if (crosses_border) all.push_back(leaves(shipment, same_country));
    const auto any = [&](Same is) { return std::find(all.begin(), all.end(), is) != all.end(); };
    if (any(Same::no)) return Applies::no;
    return any(Same::unknown) ? Applies::unknown : Applies::yes;
}

RuleBook::Entry RuleBook::read_entry(const ConfigNode& node, const std::vector<std::string>& species) {
    Entry entry;
    entry.rule.id = node.text("id");
    entry.rule.text = node.text("question");
    entry.rule.source = node.text("source");
    entry.rule.as_read = node.text("as_read");
    entry.rule.may_forbid = node.flag_or("may_forbid", false);
    entry.groups = read_names(node, "groups", "group", animal_groups());
    entry.species = read_names(node, "species", "species", species);
    entry.not_species = read_names(node, "not_species", "species", species);
    entry.origin = read_regions(node, "origin");
    entry.not_origin = read_regions(node, "not_origin");
    entry.destination = read_regions(node, "destination");
    entry.crosses_state_line = node.flag_or("crosses_state_line", false);
    entry.crosses_border = node.flag_or("crosses_border", false);
    if (node.has("shell_under_mm")) entry.shell_under_mm = node.number("shell_under_mm", kShellBounds);
    if (entry.shell_under_mm && !entry.rule.may_forbid)
        node.fail("shell_under_mm", "is for a rule that forbids small ones; expected \"may_forbid\": true");
    if (entry.limits_lane()) {
        entry.if_text = node.text("if");
    } else if (node.has("if")) {
        node.fail("if", "tells the limits on the lane in words; this rule has none");
    }
    node.finish();
    return entry;
}

RuleBook RuleBook::read(const ConfigNode& node, const SpeciesTable& species) {
    std::vector<std::string> ids;
    for (const Species& animal : species.all()) ids.push_back(animal.id);
    RuleBook book;
    for (const ConfigNode& item : node.objects("rules")) {
        Entry entry = read_entry(item, ids);
        const bool taken = std::any_of(book.entries_.begin(), book.entries_.end(),
                                       [&](const Entry& other) { return other.rule.id == entry.rule.id; });
        if (taken) item.fail("id", "is '" + entry.rule.id + "', which another rule has already");
        book.entries_.push_back(std::move(entry));
    }
    node.finish();
    return book;
}

bool RuleBook::judge_shells(double under_mm, const Shipment& shipment, Rule& rule) {
    std::vector<double> small;
    std::size_t unmeasured = 0;
    for (const auto& shell_mm : shipment.shell_mm) {
        if (!shell_mm) {
            ++unmeasured;
        } else if (*shell_mm < under_mm) {
            small.push_back(*shell_mm);
        }
    }
    const std::size_t all = shipment.shell_mm.size();
    if (!small.empty()) {
        rule.forbids = !rule.only_if;
        rule.finding =
            fmt::format("{} under {:.0f} mm: {}this rule forbids the sale unless an exception is yours.",
                        small_shells(small, all), under_mm, rule.only_if ? "if it applies, " : "");
    } else if (unmeasured > 0) {
        rule.finding = all == 1 ? "The shell is not measured: measure it, straight, before anything else."
                                : fmt::format(
                                      "Of {} shells {} not measured: measure, straight, before anything "
                                      "else.",
                                      all, unmeasured == 1 ? "1 is" : fmt::format("{} are", unmeasured));
    }
    return all == 0 || !small.empty() || unmeasured > 0;
}

std::vector<Rule> RuleBook::rules_for(const Species& species, const Shipment& shipment) const {
    std::vector<Rule> found;
    for (const Entry& entry : entries_) {
        if (!entry.is_about(species)) continue;
        const Applies applies = entry.on_lane(shipment);
        if (applies == Applies::no) continue;
        Rule rule = entry.rule;
        rule.only_if = applies == Applies::unknown;
        if (rule.only_if) rule.text = fmt::format("If {}: {}", entry.if_text, rule.text);
        if (entry.shell_under_mm && !judge_shells(*entry.shell_under_mm, shipment, rule)) continue;
        found.push_back(std::move(rule));
    }
    const auto urgency = [](const Rule& rule) { return rule.forbids ? 0 : rule.may_forbid ? 1 : 2; };
    std::stable_sort(found.begin(), found.end(),
                     [&](const Rule& a, const Rule& b) { return urgency(a) < urgency(b); });
    return found;
}

}  // namespace mildway::care
