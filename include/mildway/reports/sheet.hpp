// The sheet that lies beside the box: when, what to pack in order, what to look at, mark and ask. One page.
#pragma once

#include "mildway/orders/order.hpp"
#include "mildway/planning/workspace.hpp"
#include "mildway/weekly/limits.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::reports {

/// The version of the JSON document.
inline constexpr int kSheetVersion = 1;

/// What a sheet is made from. Borrowed.
struct SheetSubject {
    const planning::Workspace* workspace = nullptr;
    const orders::Order* order = nullptr;  ///< with its choice's document
    /// What the newest check found of the choice in force; empty: none was made.
    std::optional<orders::Reassessment> checked;
    Instant now;
    const weekly::Limits* limits = nullptr;  ///< days away; nullptr: none are known
};

/// Something to do at a time of the day.
struct SheetTime {
    std::string what;
    std::string planned;  ///< "15:10"; "Mon 1 Mar 15:10" when that is not the ship day
    std::string latest;   ///< likewise, of a hand-over at the cut-off; empty: there is none
    Instant at;           ///< as planned
    std::optional<Instant> latest_at;
};

struct SheetStep {
    std::string title;  ///< "Warmers"
    std::string text;   ///< "At 14:25 open 2 x 40-hour warmer ..."
};

struct SheetAnimal {
    std::string name;   ///< "A-12", or "1" where it has no mark
    std::string mass;   ///< "28 g", "about 17 g"
    std::string shell;  ///< "48 mm"; empty: not measured, or no shell
};

/// All that is printed, in words.
struct Sheet {
    std::string number;  ///< of the order
    std::string breeder;
    std::string animals;     ///< "2 x Hermann's tortoise"
    std::string scientific;  ///< "Testudo hermanni"
    std::string lane;        ///< "Las Cruces NM to Albany NY"
    std::string ship_day;    ///< "Tue 2 Mar 2027"
    std::string be_there;    ///< "El Paso TX by 17:30 at the latest"
    std::string service;
    std::string arrival;
    std::string packing;
    std::string bounds;  ///< the safe and harm bands
    Verdict verdict = Verdict::unknown;
    Side side = Side::cold;
    std::string judged;                ///< the verdict with its figures, from a capital letter
    std::string assessed;              ///< when, and from which weather
    std::vector<std::string> alarms;   ///< what a person has to see to before anything is packed
    std::vector<std::string> remarks;  ///< what is good to know
    std::vector<care::Rule> rules;     ///< in the order of care::RuleBook
    std::vector<SheetTime> times;
    std::string clock;  ///< whose clock the times are
    std::vector<SheetStep> steps;
    std::vector<std::string> shipper;    ///< lines of the label
    std::vector<std::string> consignee;  ///< likewise; empty ones are to be filled in by hand
    std::string contents_list;           ///< for the list that goes with the parcel
    std::vector<std::string> marks;      ///< what has to be on the outside
    std::vector<SheetAnimal> each_animal;
    std::vector<std::string> checks;  ///< what to look for in each animal
    std::vector<care::Advice> cautions;

    /// A rule forbids it as far as is known, it is anything but comfortable, or there is an alarm.
    [[nodiscard]] bool needs_person() const;
};

/// Throws UsageError when the order has no choice, or was cancelled; InputError when its packing or species
/// is no longer in the workspace.
[[nodiscard]] Sheet make_sheet(const SheetSubject& subject);

/// 80 columns, for a printer that takes text.
[[nodiscard]] std::string sheet_text(const Sheet& sheet);

/// A page for a browser's print: nothing is fetched, no scripts; one page of Letter or A4 with a few animals.
[[nodiscard]] std::string sheet_html(const Sheet& sheet);

/// docs/cli.md, "mildway sheet".
[[nodiscard]] std::string sheet_json(const Sheet& sheet);

}  // namespace mildway::reports
