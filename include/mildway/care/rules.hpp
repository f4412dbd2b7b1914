// Rules of law, carriage and papers for one species on one lane. Shown to be asked about, never as legal
// advice.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/care/species.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace mildway::care {

/// Said wherever rules are shown.
inline constexpr const char* kRulesChange =
    "Rules change: check the current text, and ask your wildlife agency or vet.";

/// What is known of where a parcel goes, and what is in it. Regions are ISO 3166-2 ("US-MN") or a country
/// alone
/// ("US"); empty: not known.
struct Shipment {
    std::string origin;
    std::vector<std::string> by_way_of = {};  ///< counter and hubs
    std::string destination;
    std::vector<std::optional<double>> shell_mm = {};  ///< carapace of each animal; empty: not measured
};

/// One question to tick, as it stands for one parcel.
struct Rule {
    std::string id;
    /// What to ask. Begins with "If ..." where too little is known of the lane to tell whether it applies.
    std::string text;
    std::string source;       ///< a citation, or "common practice, no source"
    std::string as_read;      ///< when, where and how far the source was read; "from memory" where it was not
    std::string finding;      ///< what this parcel's own figures say of it, a sentence; empty: nothing
    bool may_forbid = false;  ///< may forbid the sale or the shipment altogether
    bool forbids = false;     ///< does so, as far as is known, unless an exception is yours
    bool only_if = false;     ///< whether it applies is not known
};

/// All rules of a workspace (rules.json).
class RuleBook {
public:
    /// Throws InputError; `species` is used to check the names in the limits.
    [[nodiscard]] static RuleBook read(const ConfigNode& node, const SpeciesTable& species);

    /// The rules that apply, or may, to this species on this lane: first what forbids, then what may forbid,
    /// then the rest; otherwise in the order of the file.
    [[nodiscard]] std::vector<Rule> rules_for(const Species& species, const Shipment& shipment) const;

private:
    enum class Applies { no, unknown, yes };
    /// A limit that is empty or false limits nothing.
    struct Entry {
        Rule rule;
        std::vector<std::string> groups;
        std::vector<std::string> species;
        std::vector<std::string> not_species;
        std::vector<std::string> origin;      ///< regions or countries
        std::vector<std::string> not_origin;  ///< likewise
        std::vector<std::string> destination;
        bool crosses_state_line = false;
        bool crosses_border = false;
        std::string if_text;  ///< the limits on the lane in words, after "If"
        std::optional<double> shell_under_mm;
        [[nodiscard]] bool is_about(const Species& animal) const;
        [[nodiscard]] Applies on_lane(const Shipment& shipment) const;
        [[nodiscard]] bool limits_lane() const;
    };
    [[nodiscard]] static Entry read_entry(const ConfigNode& node, const std::vector<std::string>& species);
    /// Says what the shells mean for the rule; false when it does not apply to any of them.
    [[nodiscard]] static bool judge_shells(double under_mm, const Shipment& shipment, Rule& rule);

    std::vector<Entry> entries_;
};

/// Whether a text is a country ("US") or one of its parts ("US-MN") by the form of ISO 3166.
[[nodiscard]] bool is_region(std::string_view text);

}  // namespace mildway::care
