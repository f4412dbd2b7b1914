#include "mildway/orders/order_import.hpp"

#include "mildway/base/errors.hpp"
#include "mildway/base/text.hpp"

#include "import_buyers.hpp"
#include "spreadsheet_numbers.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <unordered_map>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace mildway::orders {

namespace {

/// Asks once for each text, also when the answer is that nothing is known.
class Remembered {
public:
    explicit Remembered(const FieldHelp& help) : help_(help) {}

    [[nodiscard]] FieldHelp help() {
        FieldHelp remembering = help_;
        remembering.place = [this](const std::string& text, const std::string& zone) {
            const auto key = std::make_pair(text, zone);
            if (const auto bad = faults_.find(key); bad != faults_.end()) throw UsageError(bad->second);
            if (const auto good = places_.find(key); good != places_.end()) return good->second;
            try {
                return places_.emplace(key, help_.place(text, zone)).first->second;
            } catch (const UsageError& error) {
                faults_.emplace(key, error.what());
                throw;
            }
        };
        return remembering;
    }

private:
    using Key = std::pair<std::string, std::string>;
    const FieldHelp& help_;
    std::map<Key, Place> places_;
    std::map<Key, std::string> faults_;
};

std::string further_mass_fault(const std::vector<Animal>& animals) {
    return fmt::format(
        "is needed: the animals so far are not alike ({}), so what is the mass of the further "
        "ones? (- for the usual of the species)",
        animals_text(animals));
}

/// Animals as the rows of an order tell of them, beginning from those it has.
void take_animals(Order& order, const TableOrder& row, const OrderTable& table,
                  std::vector<TableFault>& faults) {
    const std::vector<Animal> before = order.animals;
    const std::optional<Animal> one_more = one_more_of(before);
    std::vector<Animal> after;
    for (const TableAnimals& told : row.animals) {
        int count = std::max(told.count, 1);
        if (told.count == 0 && row.animals.size() == 1 && !before.empty())
            count = static_cast<int>(before.size());
        for (int i = 0; i < count; ++i) {
            const bool further = after.size() >= before.size();
            if (further && !one_more && told.texts.mass_g.empty()) {
                faults.push_back({told.line, "mass_g", further_mass_fault(before)});
                break;
            }
            Animal animal = further ? one_more.value_or(Animal{}) : before[after.size()];
            for (const FieldFault& fault : take_animal(animal, told.texts, table.decimal_comma)) {
                if (i == 0) faults.push_back({told.line, fault.field, fault.says});
            }
            after.push_back(std::move(animal));
        }
    }
    if (after.size() > kMostAnimals) {
        faults.push_back({row.line, "count",
                          fmt::format("makes {} animals of {}; expected {} at most in one parcel",
                                      after.size(), order.number, kMostAnimals)});
    }
    order.animals = std::move(after);
}

class Planner {
public:
    Planner(const OrderTable& table, const std::vector<Order>& known, FieldHelp help, TemperatureScale scale)
        : table_(table),
          known_(known),
          help_(std::move(help)),
          buyers_(known),
          numbers_(known),
          scale_(scale) {
        help_.decimal_comma = table.decimal_comma;
        for (const Order& order : known) by_number_.emplace(lower_case(order.number), &order);
        plan_.file = table.file;
        plan_.faults = table.faults;
    }

    ImportPlan run() {
        for (const TableOrder& row : table_.orders) plan_.entries.push_back(entry_of(row));
        for (ImportEntry& entry : plan_.entries) {
            buyers_.share(entry.order);
            judge(entry);
        }
        find_writers();
        share_buyers();
        return std::move(plan_);
    }

private:
    ImportEntry entry_of(const TableOrder& row);
    void judge(ImportEntry& entry) const;
    void find_writers();
    void share_buyers();
    [[nodiscard]] const ImportEntry* writer_of(const Order& order) const;
    [[nodiscard]] const Order* in_book(const std::string& number) const;
    void fault(const TableOrder& row, const FieldFault& fault);

    const OrderTable& table_;
    const std::vector<Order>& known_;
    FieldHelp help_;
    ImportBuyers buyers_;
    SpreadsheetNumbers numbers_;
    std::vector<bool> differs_itself_;  ///< of each entry: its own rows tell something new
    std::unordered_map<std::string, std::size_t> writers_;  ///< entry that writes a changed buyer, by address
    TemperatureScale scale_;
    std::unordered_map<std::string, const Order*> by_number_;
    ImportPlan plan_;
    std::vector<std::string> missing_columns_;
};

/// A column that is missing is told once, and not for every row.
void Planner::fault(const TableOrder& row, const FieldFault& fault) {
    if (table_.has(fault.field)) {
        plan_.faults.push_back({row.line_of(fault.field), fault.field, fault.says});
        return;
    }
    if (std::find(missing_columns_.begin(), missing_columns_.end(), fault.field) != missing_columns_.end())
        return;
    missing_columns_.push_back(fault.field);
    plan_.faults.push_back(
        {1, fault.field, fmt::format("is missing; new orders, such as {}, need it", row.number)});
}

const Order* Planner::in_book(const std::string& number) const {
    const auto found = by_number_.find(lower_case(number));
    return found == by_number_.end() ? nullptr : found->second;
}

ImportEntry Planner::entry_of(const TableOrder& row) {
    const Order* before = in_book(row.number);
    if (before == nullptr) {
        if (const std::string wrong = numbers_.fault_of_new(row); !wrong.empty())
            plan_.faults.push_back({row.line, "number", wrong});
    }
    ImportEntry entry;
    entry.line = row.line;
    entry.order.number = row.number;
    if (before != nullptr) entry.order = *before;
    const std::size_t faults_before = plan_.faults.size();
    if (before == nullptr) entry.order.buyer.scale = scale_;
    buyers_.start(entry.order, row.texts);
    for (const auto& wrong : take_fields(entry.order, row.texts, help_)) fault(row, wrong);
    take_animals(entry.order, row, table_, plan_.faults);
    if (plan_.faults.size() == faults_before) {  // else a place, say, is only missing because it is unknown
        for (const auto& wrong : missing_or_torn(entry.order)) fault(row, wrong);
    }
    buyers_.note(row, entry.order, plan_.faults);
    differs_itself_.push_back(before == nullptr || !differences(*before, entry.order).empty());
    return entry;
}

/// What becomes of an order, once all of the file is known.
void Planner::judge(ImportEntry& entry) const {
    const Order* before = in_book(entry.order.number);
    if (before == nullptr) {
        entry.kind = ImportKind::added;
        if (const Buyer* known = buyers_.known(entry.order.buyer.email))
            entry.changes = buyer_differences(*known, entry.order.buyer);
        return;
    }
    entry.state = before->state;
    entry.changes = differences(*before, entry.order);
    if (entry.changes.empty()) return;
    const bool open = before->state == State::open || before->state == State::planned;
    entry.kind = open ? ImportKind::changed : ImportKind::refused;
    if (before->state == State::planned) entry.plan_ends = why_plan_ends(*before, entry.order);
}

/// The first entry that tells a buyer's new details; one that only shares them when no other can write them.
void Planner::find_writers() {
    for (std::size_t i = 0; i < plan_.entries.size(); ++i) {
        const ImportEntry& entry = plan_.entries[i];
        const Buyer* known = buyers_.known(entry.order.buyer.email);
        const bool writes = entry.kind == ImportKind::added || entry.kind == ImportKind::changed;
        if (!writes || known == nullptr || buyer_differences(*known, entry.order.buyer).empty()) continue;
        const auto [at, is_first] = writers_.try_emplace(lower_case(entry.order.buyer.email), i);
        if (!is_first && !differs_itself_[at->second] && differs_itself_[i]) at->second = i;
    }
}

const ImportEntry* Planner::writer_of(const Order& order) const {
    if (order.buyer.email.empty()) return nullptr;
    const auto found = writers_.find(lower_case(order.buyer.email));
    return found == writers_.end() ? nullptr : &plan_.entries[found->second];
}

/// Orders of one buyer change together, also those of which the file tells nothing and those whose state
/// allows no change of their own.
void Planner::share_buyers() {
    std::set<std::string> told;
    for (std::size_t i = 0; i < plan_.entries.size(); ++i) {
        ImportEntry& entry = plan_.entries[i];
        told.insert(lower_case(entry.order.number));
        if (entry.kind != ImportKind::changed && entry.kind != ImportKind::refused) continue;
        const Order& before = *in_book(entry.order.number);
        const ImportEntry* writer = writer_of(before);
        const bool of_buyer_alone =
            writer != nullptr && buyer_differences(writer->order.buyer, entry.order.buyer).empty() &&
            entry.changes.size() == buyer_differences(before.buyer, entry.order.buyer).size();
        const bool closed = entry.kind == ImportKind::refused;
        if (of_buyer_alone && writer != &entry && (closed || !differs_itself_[i])) {
            entry.kind = ImportKind::changed;
            entry.along_with = writer->order.number;
        } else if (closed && !differs_itself_[i]) {
            entry.kind = ImportKind::same;
            entry.changes.clear();
        }
    }
    std::vector<ImportEntry> others;
    for (const Order& order : known_) {
        const ImportEntry* writer = writer_of(order);
        if (writer == nullptr || told.count(lower_case(order.number)) > 0) continue;
        ImportEntry& other = others.emplace_back();
        other.kind = ImportKind::changed;
        other.order = order;
        other.order.buyer = writer->order.buyer;
        other.changes = buyer_differences(order.buyer, other.order.buyer);
        other.state = order.state;
        other.along_with = writer->order.number;
    }
    plan_.entries.insert(plan_.entries.end(), others.begin(), others.end());
}

/// Orders that cannot be changed any more, as faults of the file.
std::vector<TableFault> refusals(const ImportPlan& plan) {
    std::vector<TableFault> faults;
    for (const ImportEntry& entry : plan.entries) {
        if (entry.kind != ImportKind::refused) continue;
        faults.push_back(
            {entry.line, "",
             fmt::format("{} is {} and cannot be changed ({}); take its rows out", entry.order.number,
                         state_name(entry.state), changes_text(entry.changes))});
    }
    return faults;
}

}  // namespace

std::size_t ImportPlan::count(ImportKind kind) const {
    return static_cast<std::size_t>(std::count_if(entries.begin(), entries.end(),
                                                  [&](const ImportEntry& one) { return one.kind == kind; }));
}

ImportPlan plan_import(const OrderTable& table, const std::vector<Order>& known, const FieldHelp& help,
                       TemperatureScale scale) {
    Remembered remembered(help);
    return Planner(table, known, remembered.help(), scale).run();
}

void write_changed(Change& change, const OrderBook& book, const Order& order,
                   const std::vector<FieldChange>& changes, const std::vector<std::string>& plan_ends) {
    change.edit(order, changes_text(changes));
    if (plan_ends.empty()) return;
    change.take_back(book.order(order.number), fmt::format("{}", fmt::join(plan_ends, "; ")));
}

void refuse_faults(const std::string& file, const std::vector<TableFault>& faults) {
    if (faults.empty()) return;
    throw InputError(file, "", 0,
                     fmt::format("{} thing{} wrong; nothing was written\n{}", faults.size(),
                                 faults.size() == 1 ? " is" : "s are", fault_list(file, faults)));
}

void apply_import(OrderBook& book, const ImportPlan& plan, Instant now) {
    std::vector<TableFault> faults = plan.faults;
    for (TableFault& refused : refusals(plan)) faults.push_back(std::move(refused));
    refuse_faults(plan.file, faults);
    if (plan.count(ImportKind::added) + plan.count(ImportKind::changed) == 0) return;
    Change change(book, now);
    for (const ImportEntry& entry : plan.entries) {
        if (entry.kind == ImportKind::added) (void)change.add(entry.order);
        if (entry.kind == ImportKind::changed && entry.along_with.empty())
            write_changed(change, book, entry.order, entry.changes, entry.plan_ends);
    }
    change.commit();
}

}  // namespace mildway::orders
