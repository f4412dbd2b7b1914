// What logs have told of a workspace's packings, kept in learnt.json.
#pragma once

#include "mildway/base/config_reader.hpp"
#include "mildway/base/time.hpp"
#include "mildway/box/packing.hpp"
#include "mildway/learning/fit.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace mildway::learning {

/// A figure and one standard error, in the figure's own unit.
struct LearntFigure {
    double value = 0;
    double error = 0;
    std::string from_log;  ///< name of the file, without its folder
};

/// Of one packing. What no log could tell is empty.
struct LearntRecord {
    std::string packing;  ///< its id
    std::string recipe;   ///< recipe_text of the packing that was logged
    std::optional<LearntFigure> wall_factor;
    std::optional<LearntFigure> air_exchange_l_per_h;
    std::optional<LearntFigure> warmer_factor;
    std::size_t readings = 0;  ///< of the latest log
    Instant from;              ///< its first and last reading that was used
    Instant to;
};

/// At most one record for each packing.
using Learnt = std::vector<LearntRecord>;

/// learnt.json. Throws InputError: another version, a figure out of bounds, two records of one packing.
[[nodiscard]] Learnt read_learnt(const ConfigNode& node);

[[nodiscard]] std::string learnt_json(const Learnt& learnt);

/// What of a recipe its learnt figures belong to: inside, liner, board, vents, seams, warmers. Two recipes
/// with the same text are the same to a fit.
[[nodiscard]] std::string recipe_text(const box::Packing& packing, const box::Warmers& warmers);

/// Puts figures into `packing.learnt`. Returns a sentence for each record that is not used, because its
/// packing is not there any more or has been changed.
[[nodiscard]] std::vector<std::string> apply(const Learnt& learnt, box::Packings& packings,
                                             const box::Warmers& warmers);

/// The figures that a fit tells; empty when there are none, or when the model does not fit the log.
[[nodiscard]] std::optional<LearntRecord> record_of(const box::Packing& packing, const box::Warmers& warmers,
                                                    const std::filesystem::path& log, const Fit& fit);

/// Puts a record in place of that of the same packing in a file that may not be there yet, and keeps the
/// others. Figures that the new record lacks are kept from the old one where both are of the same recipe, and
/// returned. Throws InputError when the file is there and cannot be read, SystemError when it cannot be
/// written.
std::vector<FigureKind> save_learnt(const std::filesystem::path& file, LearntRecord record);

/// "wall", "air", "warmers": those that are learnt.
[[nodiscard]] std::vector<std::string> names_of(const box::LearntFigures& learnt);

}  // namespace mildway::learning
