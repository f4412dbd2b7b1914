// A gazetteer file of the US Census Bureau kept in the workspace: ZIP code areas or towns, offline.
#pragma once

#include "mildway/places/finder.hpp"

#include <filesystem>
#include <memory>
#include <mutex>

namespace mildway::places {

/// National gazetteer as published each year, columns parted by tabs or bars: ZIP code tabulation areas
/// (GEOID, INTPTLAT, INTPTLONG) or places (USPS, GEOID, NAME, INTPTLAT, INTPTLONG); which one is told by the
/// columns. May be used by several threads at once.
class Gazetteer : public Finder {
public:
    /// Reads the file when it is first asked. Throws InputError naming file, line and column.
    explicit Gazetteer(std::filesystem::path file);
    [[nodiscard]] std::string name() const override;
    /// "55802" or "55802-1234" by ZIP; "Duluth MN", "Duluth, MN" or "Duluth" by name, whatever the case. The
    /// kind of town (" city", " CDP") that the file puts behind its name is not part of it. In the file's
    /// order: it does not say how many live there.
    [[nodiscard]] std::vector<Candidate> find(const std::string& text) const override;

private:
    struct Table;
    [[nodiscard]] const Table& table() const;

    std::filesystem::path file_;
    mutable std::once_flag read_;
    mutable std::shared_ptr<const Table> table_;  ///< shared only so that Table may stay unknown here
};

}  // namespace mildway::places
