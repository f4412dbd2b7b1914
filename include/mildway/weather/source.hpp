// Where outlooks come from. One file for each kind of source.
#pragma once

#include "mildway/weather/outlook.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace mildway::weather {

/// An outlook, or why there is none.
struct Reading {
    std::optional<Outlook> outlook;
    std::string reason;  ///< a sentence; empty when there is an outlook, or when nothing was asked for
    /// Warnings that were had although there is no outlook; else they stand in it.
    std::vector<Alert> alerts{};
    bool alerts_known = false;
};

/// A service or folder that can be asked about a place.
class ForecastSource {
public:
    ForecastSource() = default;
    ForecastSource(const ForecastSource&) = delete;
    ForecastSource& operator=(const ForecastSource&) = delete;
    ForecastSource(ForecastSource&&) = delete;
    ForecastSource& operator=(ForecastSource&&) = delete;
    virtual ~ForecastSource() = default;

    /// As shown to a person.
    [[nodiscard]] virtual std::string name() const = 0;

    /// The outlook at a place. Throws WeatherError when there is none or what there is cannot be trusted to
    /// be what it says (broken file, unknown unit, impossible values): the message names the file and the
    /// reason.
    [[nodiscard]] virtual Outlook outlook(const Place& place) const = 0;

    /// One reading for each place, in order. A source that asks over a network asks for all side by side.
    [[nodiscard]] virtual std::vector<Reading> read(std::span<const Place> places) const;

    /// What the time of the year is like at each place over [from, to], for hours that no forecast reaches.
    /// Sources without a climate give readings with neither outlook nor reason.
    [[nodiscard]] virtual std::vector<Reading> climate(std::span<const Place> places, Instant from,
                                                       Instant to) const;
};

/// A source whose way is read(): asks for one place by it.
class BatchSource : public ForecastSource {
public:
    [[nodiscard]] Outlook outlook(const Place& place) const final;
    [[nodiscard]] std::vector<Reading> read(std::span<const Place> places) const override = 0;

    /// Whether it is worth asking about this place at all.
    [[nodiscard]] virtual bool covers(const Place& place) const;
};

}  // namespace mildway::weather
