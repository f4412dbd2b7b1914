#include "mildway/weather/sampled_weather.hpp"

#include "mildway/base/parallel.hpp"

#include "chunk_sampler.hpp"
#include "common_draws.hpp"

#include <algorithm>
#include <stdexcept>

namespace mildway::weather {

namespace {

void check(std::span<const PlaceOutlook> places, Instant from, Instant to, std::uint32_t scenarios) {
    if (places.empty()) throw std::invalid_argument("there is no place to sample the weather of");
    if (to < from) throw std::invalid_argument("the window of weather ends before it begins");
    if (scenarios == 0 || scenarios % 4 != 0) {
        throw std::invalid_argument("the number of scenarios must be a multiple of 4, and not 0");
    }
    for (const PlaceOutlook& at : places) {
        if (at.outlook.temp_c.empty())
            throw std::invalid_argument("an outlook without a series cannot be sampled");
    }
}

/// One draw of a list of places, or of what a list has more than those that are known.
class Drawing {
public:
    Drawing(std::span<const PlaceOutlook> places, const ErrorLattice& lattice, const Window& window,
            const SamplingOptions& options)
        : places_(places), lattice_(lattice), window_(window), options_(options) {}

    /// Blocks of the places from `known` on; `then` gets the number of each chunk and its sampler.
    template <class Then>
    [[nodiscard]] std::vector<std::shared_ptr<const Block>> draw(const CommonDraws* known, Then then) const {
        const std::size_t first_place = known == nullptr ? 0 : known->places.size();
        std::vector<std::shared_ptr<Block>> blocks;
        for (std::size_t i = first_place; i < places_.size(); ++i)
            blocks.push_back(std::make_shared<Block>(std::size_t{window_.hour_count} * options_.scenarios));
        parallel_for(chunks(), options_.threads, [&](std::size_t chunk) {
            const auto first = static_cast<std::uint32_t>(chunk * kChunk);
            const std::size_t size = std::min<std::size_t>(kChunk, options_.scenarios - first);
            ChunkSampler sampler(lattice_, options_.seed, first, size,
                                 known == nullptr ? std::span<const Rows>{} : known->own[chunk]);
            for (std::size_t i = first_place; i < places_.size(); ++i)
                sampler.write(places_[i], lattice_.spot_of_place[i], window_, options_.scenarios,
                              blocks[i - first_place]->data());
            then(chunk, sampler);
        });
        return {blocks.begin(), blocks.end()};
    }

    /// All of it, with what other lists need that begin with it.
    [[nodiscard]] std::shared_ptr<const CommonDraws> draw_for_others() const {
        const std::size_t spots = 1 + *std::max_element(lattice_.spot_of_place.begin(),
                                                        lattice_.spot_of_place.begin() +
                                                            static_cast<std::ptrdiff_t>(places_.size()));
        auto made = std::make_shared<CommonDraws>();
        made->places.assign(places_.begin(), places_.end());
        made->window = window_;
        made->first_number = lattice_.first_number;
        made->nodes = lattice_.node_count();
        made->scenarios = options_.scenarios;
        made->seed = options_.seed;
        made->own.resize(chunks());
        made->blocks = draw(nullptr, [&](std::size_t chunk, ChunkSampler& sampler) {
            made->own[chunk] = sampler.take_own(spots);
        });
        return made;
    }

    /// Whether that is what draw_for_others() would give.
    [[nodiscard]] bool is_drawn_by(const CommonDraws& other) const {
        return other.window.first_hour == window_.first_hour &&
               other.window.hour_count == window_.hour_count && other.first_number == lattice_.first_number &&
               other.nodes == lattice_.node_count() && other.scenarios == options_.scenarios &&
               other.seed == options_.seed &&
               std::equal(places_.begin(), places_.end(), other.places.begin(), other.places.end(),
                          draws_alike);
    }

private:
    [[nodiscard]] std::size_t chunks() const { return (options_.scenarios + kChunk - 1) / kChunk; }

    std::span<const PlaceOutlook> places_;
    const ErrorLattice& lattice_;
    Window window_;
    SamplingOptions options_;
};

}  // namespace

SampledWeather::SampledWeather(std::span<const PlaceOutlook> places, Instant from, Instant to,
                               const SamplingOptions& options, SharedDraws* shared, std::size_t common)
    : scenarios_(options.scenarios), first_hour_(date::floor<hours>(from)) {
    check(places, from, to, options.scenarios);
    hour_count_ = static_cast<std::uint32_t>((date::ceil<hours>(to) - first_hour_) / hours(1)) + 1;
    const ErrorLattice lattice = lay_out_errors(places, date::ceil<hours>(to));
    const Window window{first_hour_, hour_count_};
    SharedDraws::Draws known;
    if (shared != nullptr && common > 0) {
        const Drawing first(places.first(common), lattice, window, options);
        known = shared->get([&](const CommonDraws& draws) { return first.is_drawn_by(draws); },
                            [&] { return first.draw_for_others(); });
        temp_c_ = known->blocks;
    }
    const auto rest =
        Drawing(places, lattice, window, options).draw(known.get(), [](std::size_t, ChunkSampler&) {});
    temp_c_.insert(temp_c_.end(), rest.begin(), rest.end());
}

std::span<const float> SampledWeather::hour(std::size_t place, std::uint32_t hour) const {
    return block(place).subspan(std::size_t{hour} * scenarios_, scenarios_);
}

std::span<const float> SampledWeather::block(std::size_t place) const {
    return *temp_c_.at(place);
}

}  // namespace mildway::weather
