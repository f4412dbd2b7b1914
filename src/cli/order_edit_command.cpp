// order add, order edit
#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"
#include "mildway/orders/order_import.hpp"
#include "mildway/reports/order_edit_report.hpp"
#include "mildway/reports/order_show.hpp"

#include "order_parts.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::cli {

using orders::Field;

namespace {

struct Told {
    std::string number;  ///< of a new order, or which one is edited
    std::string new_number;
    std::array<std::vector<std::string>, orders::kFieldCount> fields;
    std::array<CLI::Option*, orders::kFieldCount> options{};
    std::optional<int> count;
    std::optional<std::string> mass_g;  ///< as text: "1.200" is for nobody to guess
    std::vector<std::string> animals;
};

struct FieldOption {
    Field field;
    const char* name;
    const char* about;
    bool repeated = false;
};

constexpr std::array<FieldOption, orders::kFieldCount> kOptions{{
    {Field::to, "--to",
     "Destination: a place of the workspace, \"latitude,longitude\", a street address, or what a gazetteer "
     "knows"},
    {Field::zone, "--zone", "Time zone of coordinates far from any known place, e.g. America/Chicago"},
    {Field::species, "--species", "Which animal, by any of its names"},
    {Field::buyer, "--buyer", "The buyer's name"},
    {Field::email, "--email", "The buyer's e-mail address; orders with the same one are of one buyer"},
    {Field::address, "--address", "A line of the address on the label; repeat for further lines", true},
    {Field::scale, "--scale", "What the buyer reads temperatures in: celsius or fahrenheit"},
    {Field::value_usd, "--value-usd", "Value of all animals together, USD"},
    {Field::earliest, "--earliest", "First day on which it may arrive, e.g. 2027-03-02"},
    {Field::latest, "--latest", "Last day on which it may arrive"},
    {Field::away, "--away", "Days on which nobody is there, as FROM..UNTIL or one day; repeat for more",
     true},
    {Field::services, "--service", "Only this service may be used; repeat for more", true},
    {Field::note, "--note", "For yourself"},
}};

void add_told_options(CLI::App& command, Told& told) {
    for (const FieldOption& one : kOptions) {
        const auto at = static_cast<std::size_t>(one.field);
        told.options.at(at) = command.add_option(one.name, told.fields.at(at), one.about)
                                  ->expected(1)
                                  ->multi_option_policy(one.repeated ? CLI::MultiOptionPolicy::TakeAll
                                                                     : CLI::MultiOptionPolicy::Throw);
    }
    auto* count = command.add_option("--count", told.count, "How many animals in the parcel")
                      ->check(CLI::Range(1, orders::kMostAnimals));
    auto* mass = command.add_option("--mass-g", told.mass_g,
                                    "Mass of each animal, g (default: the species' typical juvenile)");
    command
        .add_option("--animal", told.animals,
                    "One animal, as mark, mass and shell length, each or none: \"Ash, 31 g, 38 mm\"; repeat "
                    "for more")
        ->expected(1)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll)
        ->excludes(count)
        ->excludes(mass);
}

void add_add_options(CLI::App& command, Told& told) {
    command.add_option("--number", told.number, "Your number of the order (default: the next free one)");
    add_told_options(command, told);
}

void add_edit_options(CLI::App& command, Told& told) {
    command.add_option("number", told.number, "Which order")->required();
    command.add_option("--number", told.new_number, "A new number for it");
    add_told_options(command, told);
}

/// Empty text clears. Lines of an address stay lines.
orders::FieldTexts texts_of(const Told& told) {
    orders::FieldTexts texts;
    for (std::size_t i = 0; i < orders::kFieldCount; ++i) {
        if (told.options.at(i)->count() == 0) continue;
        const char* between = static_cast<Field>(i) == Field::address ? "\n" : " ";
        texts.emplace_back(static_cast<Field>(i), fmt::format("{}", fmt::join(told.fields.at(i), between)));
    }
    return texts;
}

void take_count(std::vector<orders::Animal>& animals, const Told& told,
                std::vector<orders::FieldFault>& faults) {
    const auto count =
        told.count ? static_cast<std::size_t>(*told.count) : std::max<std::size_t>(animals.size(), 1);
    const auto further = orders::one_more_of(animals);
    if (count > animals.size() && !further && !told.mass_g) {
        faults.push_back({"count", fmt::format("the animals so far are not alike ({}); tell each with "
                                               "--animal, or one mass for all with --mass-g",
                                               orders::animals_text(animals))});
        return;
    }
    animals.resize(count, further.value_or(orders::Animal{}));
}

void take_animals(orders::Order& order, const Told& told, std::vector<orders::FieldFault>& faults) {
    const auto take = [&](orders::Animal& animal, const orders::AnimalTexts& texts) {
        for (auto& fault : orders::take_animal(animal, texts)) faults.push_back(std::move(fault));
    };
    if (!told.animals.empty()) {
        order.animals.clear();
        for (const auto& text : told.animals) take(order.animals.emplace_back(), orders::parse_animal(text));
        if (order.animals.size() > orders::kMostAnimals)
            faults.push_back({"animal", fmt::format("expected {} animals at most", orders::kMostAnimals)});
        return;
    }
    take_count(order.animals, told, faults);
    if (!told.mass_g) return;
    orders::AnimalTexts mass;
    mass.mass_g = told.mass_g->empty() ? "-" : *told.mass_g;
    const std::size_t before = faults.size();
    for (auto& animal : order.animals) take(animal, mass);
    if (faults.size() > before + 1) faults.resize(before + 1);  // they are all alike
}

/// Everything told, or a UsageError with all that is wrong with it.
void take_told(orders::Order& order, const Told& told, const orders::OrderBook& book,
               const orders::FieldHelp& help) {
    const orders::FieldTexts texts = texts_of(told);
    orders::start_from_known_buyer(order, texts, book.orders());
    std::vector<orders::FieldFault> faults = orders::take_fields(order, texts, help);
    take_animals(order, told, faults);
    if (faults.empty()) faults = orders::missing_or_torn(order);
    if (!order.number.empty()) {
        if (const std::string wrong = orders::number_fault(order.number); !wrong.empty())
            faults.push_back({"number", wrong});
    }
    throw_faults(faults);
}

/// Wishes that lie behind us are more likely a slip than meant.
void note_past(const orders::Order& order, const planning::Workspace& workspace, Instant now,
               Console& console) {
    const Date today = local_date(find_zone(workspace.counter.zone), now);
    if (order.latest_arrival && *order.latest_arrival < today)
        console.err << fmt::format("note: the latest arrival, {}, is in the past\n",
                                   format_date(*order.latest_arrival));
}

int run_order_add(const Told& told, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const Instant now = now_of(common, console);
    auto book = open_book(common, orders::OrderBook::Access::write);
    OrderHelp help(common, workspace, now, console);
    orders::Order order;
    order.number = told.number;
    order.buyer.scale = workspace.scale;
    take_told(order, told, book, help.fields());
    note_past(order, workspace, now, console);
    const auto sharing = orders::orders_sharing(order, book.orders());
    orders::Change change(book, now);
    const std::string number = change.add(order).number;
    change.commit();
    const orders::Order added = book.order(number);
    console.out << (common.json ? reports::order_added_json(added, sharing)
                                : reports::order_added_text(added, sharing, workspace.species));
    return kDone;
}

/// Other orders of the address that this one had stay with it.
void note_former_address(const orders::Order& before, const orders::Order& after,
                         const orders::OrderBook& book, Console& console) {
    const std::string former = lower_case(before.buyer.email);
    if (former.empty() || former == lower_case(after.buyer.email)) return;
    const auto all = book.orders();
    const auto others = std::count_if(all.begin(), all.end(), [&](const orders::Order& one) {
        return lower_case(one.buyer.email) == former && one.id != before.id;
    });
    if (others > 0)
        console.err << fmt::format("note: {} other order{} of {} keep{} that address\n", others,
                                   others == 1 ? "" : "s", before.buyer.email, others == 1 ? "s" : "");
}

int run_order_edit(const Told& told, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    const Instant now = now_of(common, console);
    auto book = open_book(common, orders::OrderBook::Access::write);
    OrderHelp help(common, workspace, now, console);
    orders::FieldHelp fields = help.fields();
    fields.find_again = true;
    const orders::Order before = book.order(told.number);
    orders::Order after = before;
    if (!told.new_number.empty()) after.number = told.new_number;
    take_told(after, told, book, fields);
    auto changes = orders::differences(before, after);
    if (before.number != after.number)
        changes.insert(changes.begin(), {"number", before.number, after.number});
    const auto plan_ends = before.state == orders::State::planned ? orders::why_plan_ends(before, after)
                                                                  : std::vector<std::string>{};
    const auto proposal_ends = before.state == orders::State::open && before.proposal
                                   ? orders::why_proposal_ends(before, after)
                                   : std::vector<std::string>{};
    const auto sharing = orders::orders_sharing(after, book.orders());
    if (!changes.empty()) {
        note_past(after, workspace, now, console);
        orders::Change change(book, now);
        orders::write_changed(change, book, after, changes, plan_ends);
        change.commit();
        note_former_address(before, after, book, console);
    }
    const orders::Order edited = book.order(after.number);
    console.out << (common.json
                        ? reports::order_edited_json(edited, changes, {plan_ends, proposal_ends}, sharing)
                        : reports::order_edited_text(edited, changes, {plan_ends, proposal_ends}, sharing));
    return plan_ends.empty() ? kDone : kNeedsPerson;
}

}  // namespace

OrderCommand add_order_add(CLI::App& order) {
    return order_subcommand<Told>(order, "add", "Enter a new order", add_add_options, run_order_add);
}

OrderCommand add_order_edit(CLI::App& order) {
    return order_subcommand<Told>(order, "edit", "Change what was told of an order; \"\" clears a wish",
                                  add_edit_options, run_order_edit);
}

}  // namespace mildway::cli
