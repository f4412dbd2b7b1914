#include "mildway/reports/order_import_report.hpp"

#include "layout.hpp"
#include "order_words.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace mildway::reports {

using orders::ImportEntry;
using orders::ImportKind;
using orders::ImportPlan;

namespace {

std::string kind_word(ImportKind kind) {
    switch (kind) {
        case ImportKind::added:
            return "new";
        case ImportKind::changed:
            return "changed";
        case ImportKind::same:
            return "same";
        case ImportKind::refused:
            return "refused";
    }
    return "";
}

std::string new_order_words(const orders::Order& order, const care::SpeciesTable& species) {
    const std::string buyer = order.buyer.name.empty() ? order.buyer.email : order.buyer.name;
    return fmt::format("{}{} to {}, {}", buyer.empty() ? "" : buyer + ": ", counted_species(order, species),
                       order.place.name, wanted_text(order));
}

std::string change_lines(const std::string& indent, const ImportEntry& entry) {
    std::string text;
    if (entry.kind == ImportKind::added && !entry.changes.empty())
        text += lines_of(indent, "the buyer is known, and changes:");
    for (const auto& change : entry.changes)
        text += lines_of(indent, fmt::format("{}: {} -> {}", change.field, shown_value(change.before),
                                             shown_value(change.after)));
    for (const auto& reason : entry.plan_ends)
        text += lines_of(indent, fmt::format("its plan does not stand: {}", reason));
    return text;
}

std::string changed_words(const ImportEntry& entry) {
    if (!entry.plan_ends.empty()) return "is planned; will be open again";
    std::string words = "is " + state_words(entry.state);
    if (!entry.along_with.empty()) words += fmt::format("; shares the buyer with {}", entry.along_with);
    return words;
}

/// "  new      JB-1041  ..."
std::string entry_lines(const ImportEntry& entry, std::size_t number_width,
                        const care::SpeciesTable& species) {
    const std::string first =
        fmt::format("  {} {}  ", fit(kind_word(entry.kind), 7), fit(entry.order.number, number_width));
    const std::string indent(display_width(first), ' ');
    switch (entry.kind) {
        case ImportKind::added:
            return lines_of(first, new_order_words(entry.order, species)) + change_lines(indent, entry);
        case ImportKind::same:
            return "";
        case ImportKind::changed:
            return lines_of(first, changed_words(entry)) + change_lines(indent, entry);
        case ImportKind::refused:
            return lines_of(first, fmt::format("line {}: is {}, and can not be changed any more", entry.line,
                                               state_words(entry.state))) +
                   change_lines(indent, entry);
    }
    return "";
}

std::string counts(const ImportPlan& plan) {
    std::string text;
    for (const ImportKind kind :
         {ImportKind::added, ImportKind::changed, ImportKind::same, ImportKind::refused}) {
        if (kind == ImportKind::refused && plan.count(kind) == 0) continue;
        text += fmt::format("{}{} {}", text.empty() ? "" : ", ", plan.count(kind), kind_word(kind));
    }
    return text;
}

}  // namespace

std::string order_import_text(const ImportPlan& plan, bool applied, const care::SpeciesTable& species) {
    std::size_t number_width = 0;
    for (const ImportEntry& entry : plan.entries)
        number_width = std::min<std::size_t>(std::max(number_width, display_width(entry.order.number)), 16);
    std::string text;
    for (const ImportEntry& entry : plan.entries) text += entry_lines(entry, number_width, species);
    const bool changes_something = plan.count(ImportKind::added) + plan.count(ImportKind::changed) > 0;
    std::string end = "Nothing was written yet; to write it, add --apply.";
    if (plan.count(ImportKind::refused) > 0) {
        end = "Nothing can be written before the refused rows are taken out.";
    } else if (!changes_something) {
        end = "There is nothing to write.";
    } else if (applied) {
        end = "Written.";
    }
    return text + lines_of("", fmt::format("{}: {}. {}", plan.file, counts(plan), end));
}

}  // namespace mildway::reports
