#include "better_words.hpp"

#include <fmt/format.h>

namespace mildway::reports {

std::string better_day_words(const orders::Reassessment& found, const orders::Choice& choice) {
    if (*found.better_day != choice.ship_date) return format_day(*found.better_day);
    const bool same_box = found.better_packing == choice.packing;
    return same_box ? "another service on the same day" : "another box on the same day";
}

std::string better_words(const orders::Reassessment& found, const orders::Choice& choice,
                         const planning::Workspace& workspace) {
    std::string words = better_day_words(found, choice);
    const transit::Service* service = workspace.services.by_id(found.better_service);
    const box::Packing* packing = workspace.packings.by_id(found.better_packing);
    if (service == nullptr || packing == nullptr) return words;
    return fmt::format("{}{} by {} in {}", words, *found.better_day == choice.ship_date ? "," : "",
                       service->label, packing->label);
}

}  // namespace mildway::reports
