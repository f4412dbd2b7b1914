// What a person tells of an order, as text: the same on the command line and in tables, in and out.
#pragma once

#include "mildway/orders/order.hpp"

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace mildway::orders {

/// Named as columns of a table; options of the command have dashes for underscores.
enum class Field {
    buyer,
    email,
    address,
    scale,
    to,
    zone,
    species,
    value_usd,
    earliest,
    latest,
    away,
    services,
    note
};
inline constexpr std::size_t kFieldCount = 13;

[[nodiscard]] std::string_view field_name(Field field);  ///< "value_usd"

/// Fields that are told, in any order, once each. An empty text clears the field.
using FieldTexts = std::vector<std::pair<Field, std::string>>;

/// What the workspace knows. Each throws UsageError for what it does not know.
struct FieldHelp {
    std::function<std::string(const std::string& name)> species;  ///< id
    std::function<Place(const std::string& text, const std::string& zone)> place;
    std::function<std::string(const std::string& id)> service;  ///< id
    bool decimal_comma = false;                                 ///< "7,5" is a number, too
    /// A destination that is told again is found again; otherwise the place stays as it was found.
    bool find_again = false;
};

struct FieldFault {
    std::string field;
    std::string says;  ///< "'3/1/2027' is not a date like 2027-03-01"
};

/// As text that take_fields() understands; empty: not told.
[[nodiscard]] std::string field_text(const Order& order, Field field);

/// Writes what is told into the order, as far as it can be understood; what cannot is returned.
[[nodiscard]] std::vector<FieldFault> take_fields(Order& order, const FieldTexts& texts,
                                                  const FieldHelp& help);

/// What stands in the way of this being an order at all, and wishes that exclude each other.
[[nodiscard]] std::vector<FieldFault> missing_or_torn(const Order& order);

/// Numbers of orders are written by people and changed by spreadsheets. Empty: it is good.
[[nodiscard]] std::string number_fault(std::string_view number);

/// An animal as told: texts of mark, mass and shell length; an empty one leaves what was there, a dash
/// ("-") clears it.
struct AnimalTexts {
    std::string mark;
    std::string mass_g;
    std::string shell_mm;
};
[[nodiscard]] std::vector<FieldFault> take_animal(Animal& animal, const AnimalTexts& texts,
                                                  bool decimal_comma = false);
/// An animal that comes to these and of which nothing is told: their mass, no mark, no shell. Empty when they
/// are not alike in mass and shell: then nobody can know.
[[nodiscard]] std::optional<Animal> one_more_of(const std::vector<Animal>& animals);
inline constexpr int kMostAnimals = 12;  ///< of one parcel

/// "Ash, 31 g, 38 mm": a mark, a mass, the length of a shell, in any order, each or none. Throws UsageError.
[[nodiscard]] AnimalTexts parse_animal(std::string_view text);

/// "2 x (7 g)", "Ash 31 g shell 38 mm, Birch"; "1", "3" when nothing is told of them. For people.
[[nodiscard]] std::string animals_text(const std::vector<Animal>& animals);

/// As field_text() or animals_text() has it; empty: nothing.
struct FieldChange {
    std::string field;  ///< "earliest", "animals"
    std::string before;
    std::string after;
};

/// What a person told differs between two states of one order.
[[nodiscard]] std::vector<FieldChange> differences(const Order& before, const Order& after);
/// Of these, what is the buyer's: name, e-mail, address, scale.
[[nodiscard]] std::vector<FieldChange> buyer_differences(const Buyer& before, const Buyer& after);
/// "earliest 2027-03-03 instead of none; note 'x' instead of 'y'", for the event.
[[nodiscard]] std::string changes_text(const std::vector<FieldChange>& changes);

/// Why the choice that `before` is planned with does not stand for `after`, a clause each; empty: it stands.
/// A plan rests on place, species, number and masses of the animals; wishes end it when it breaks them.
[[nodiscard]] std::vector<std::string> why_plan_ends(const Order& before, const Order& after);

/// The same for the days that were proposed for `before`. Wishes for days end none: days that do not suit are
/// left out one by one (why_not_arriving). Which service a day was proposed with is not kept, so that it ends
/// when one of those that were allowed is not any more.
[[nodiscard]] std::vector<std::string> why_proposal_ends(const Order& before, const Order& after);

/// Days from a planned hand-over to the true one, by the counter's calendar; 0: as planned. One after the
/// cut-off counts as one of the next day: the parcel has missed its trip.
[[nodiscard]] int days_off_plan(Date ship_date, Instant cut_off, Instant handed_over,
                                const date::time_zone& counter);

}  // namespace mildway::orders
