// What a logger has told of a packing: as text, as JSON.
#pragma once

#include "mildway/learning/fit.hpp"
#include "mildway/learning/learnt.hpp"
#include "mildway/planning/workspace.hpp"

#include <optional>
#include <string>
#include <vector>

namespace mildway::reports {

inline constexpr int kFitVersion = 1;

/// What was fitted, and what became of it.
struct FitSubject {
    const planning::Workspace* workspace;
    const box::Packing* packing;
    std::string log;  ///< name of its file
    learning::LoggerAt at;
    std::string setting;
    bool save_was_asked;
    std::optional<learning::LearntRecord> saved;
    std::vector<learning::FigureKind> kept{};  ///< figures of earlier logs that stay beside those saved
};

/// At most 80 columns; times on the origin's clock, degrees of the workspace.
[[nodiscard]] std::string fit_text(const FitSubject& subject, const learning::Fit& fit);

[[nodiscard]] std::string fit_json(const FitSubject& subject, const learning::Fit& fit);

}  // namespace mildway::reports
