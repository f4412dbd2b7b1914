#include "mildway/fetch/fetcher.hpp"

#include "mildway/base/errors.hpp"

#include "url.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include <fmt/format.h>

namespace mildway::fetch {

namespace {

constexpr seconds kLongestWord{86400};  // a service that says "fresh for a year" is not believed
constexpr seconds kClockSlack{600};     // clocks that differ by less are taken for equal

std::string spoken(seconds time) {
    constexpr seconds kTwoHours{7200};
    if (time < kTwoHours) return fmt::format("{} min", time.count() / 60);
    return fmt::format("{} h", std::chrono::round<hours>(time).count());
}

std::string key_of(const Wanted& wanted) {
    return wanted.accept + " " + wanted.url;
}

/// One address that is wanted, perhaps several times over.
struct Item {
    Wanted wanted;          ///< the strictest of them
    std::size_t first = 0;  ///< where it stands among the wishes
    std::vector<std::function<void(const std::string&)>> checks = {};
    std::optional<Entry> kept = {};
    Got got = {};
    bool settled = false;
    bool spoilt = false;  ///< an answer came whole and was still not what was asked for

    [[nodiscard]] std::string host() const { return host_of(wanted.url); }

    void add(const Wanted& one) {
        wanted.fresh_for = std::min(wanted.fresh_for, one.fresh_for);
        wanted.keep_for = std::min(wanted.keep_for, one.keep_for);
        wanted.ask_anyway = wanted.ask_anyway || one.ask_anyway;
        if (one.check) checks.push_back(one.check);
    }

    /// Why a body is not what was wanted; empty when it is.
    [[nodiscard]] std::string objection(const std::string& body) const {
        if (body.empty()) return "sent an empty answer";
        try {
            for (const auto& check : checks) check(body);
        } catch (const Error& error) {
            return fmt::format("sent something that is not what was asked for: {}", error.what());
        }
        return {};
    }

    /// After an answer that was not what was wanted, the whole is asked for.
    [[nodiscard]] bool is_conditional() const {
        return kept && !spoilt && !(kept->etag.empty() && kept->last_modified.empty());
    }

    [[nodiscard]] Request request() const {
        Request request;
        request.url = wanted.url;
        request.secret_query = wanted.secret_query;
        request.accept = wanted.accept;
        request.at_once = wanted.at_once;
        if (is_conditional()) {
            request.if_none_match = kept->etag;
            request.if_modified_since = kept->last_modified;
        }
        return request;
    }

    /// The kept copy's last use: its body is moved.
    void use_kept(bool unconfirmed) {
        got.body = std::move(kept->body);
        got.fetched = kept->fetched;
        got.kept = unconfirmed;
    }
};

/// One call of Fetcher::get.
class Round {
public:
    Round(const Transport* transport, const DiskCache& cache, const Fetcher::Clock& clock,
          const Fetcher::Remark& remark)
        : transport_(transport), cache_(cache), clock_(clock), remark_(remark) {}

    std::vector<Got> run(std::span<const Wanted> wanted) {
        const std::vector<std::size_t> item_of = gather(wanted);
        for (Item& item : items_) look_up(item);
        ask();
        ask();  // once more where the answer was not what was wanted: it may have been damaged on the way
        for (Item& item : items_) fall_back(item);
        std::vector<Got> got(wanted.size());
        for (std::size_t i = wanted.size();
             i-- > 0;) {  // backwards: the first to wish comes last and takes it
            Item& item = items_[item_of[i]];
            if (item.first == i) {
                got[i] = std::move(item.got);
            } else {
                got[i] = item.got;
            }
        }
        return got;
    }

private:
    /// Equal wishes become one item.
    std::vector<std::size_t> gather(std::span<const Wanted> wanted) {
        std::map<std::pair<std::string, std::string>, std::size_t> known;
        std::vector<std::size_t> item_of;
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            const auto [found, is_new] =
                known.try_emplace({key_of(wanted[i]), wanted[i].secret_query}, items_.size());
            if (is_new) items_.push_back({wanted[i], i});
            items_[found->second].add(wanted[i]);
            item_of.push_back(found->second);
        }
        return item_of;
    }

    void look_up(Item& item) const {
        item.kept = cache_.find(key_of(item.wanted));
        if (!item.kept) return;
        const Instant now = clock_();
        // Of a copy from the future nobody knows how old it is.
        if (item.kept->fetched > now + kClockSlack) return item.kept.reset();
        const Instant by_the_service =
            std::min(item.kept->fresh_until, item.kept->fetched + item.wanted.keep_for);
        const bool fresh = now < std::max(item.kept->fetched + item.wanted.fresh_for, by_the_service);
        if (fresh && !item.wanted.ask_anyway) {
            item.use_kept(true);
            item.settled = true;
        } else if (!item.objection(item.kept->body).empty()) {
            item.kept.reset();  // an older version of the program may have thought it good
        }
    }

    void ask() {
        std::vector<Request> requests;
        std::vector<Item*> asked;
        for (Item& item : items_) {
            if (item.settled) continue;
            requests.push_back(item.request());
            asked.push_back(&item);
        }
        if (requests.empty()) return;
        if (transport_ == nullptr) {
            for (Item* item : asked) item->got.trouble = item->host() + ": not asked, being offline";
            return;
        }
        std::vector<Answer> answers = transport_->get(requests);
        for (std::size_t i = 0; i < asked.size(); ++i) take(*asked[i], std::move(answers[i]));
    }

    void take(Item& item, Answer answer) {
        compare_clocks(item, answer);
        item.got.status = answer.status;
        item.got.trouble.clear();
        const bool second_time = item.spoilt;
        item.settled = true;
        if (answer.status == 304 && item.is_conditional()) return confirm(item, answer);
        const std::string trouble = trouble_of(item, answer);
        if (trouble.empty()) return accept(item, std::move(answer));
        item.got.trouble = item.host() + ": " + trouble;
        if (is_success(answer)) {
            item.spoilt = true;
            item.settled = second_time;
        } else {
            item.got.error_body = std::move(answer.body);
        }
    }

    /// 203 is a 200 that something on the way has changed (RFC 9110, 15.3.4).
    static bool is_success(const Answer& answer) { return answer.status == 200 || answer.status == 203; }

    static std::string trouble_of(const Item& item, const Answer& answer) {
        if (!answer.trouble.empty()) return answer.trouble;
        if (!is_success(answer)) return fmt::format("answered {}", answer.status);
        return item.objection(answer.body);
    }

    void accept(Item& item, Answer answer) {
        item.kept =
            Entry{std::move(answer.body), {}, {}, std::move(answer.etag), std::move(answer.last_modified)};
        keep_and_use(item, answer.fresh_for);
    }

    void confirm(Item& item, const Answer& answer) {
        if (!answer.etag.empty()) item.kept->etag = answer.etag;
        if (!answer.last_modified.empty()) item.kept->last_modified = answer.last_modified;
        keep_and_use(item, answer.fresh_for);
    }

    void keep_and_use(Item& item, std::optional<seconds> word) {
        item.kept->fetched = clock_();
        item.kept->fresh_until = item.kept->fetched + std::min(word.value_or(seconds(0)), kLongestWord);
        try {
            cache_.keep(key_of(item.wanted), *item.kept);
        } catch (const SystemError& error) {
            remark_once("", fmt::format("what was fetched could not be kept for later: {}", error.what()));
        }
        item.use_kept(false);
    }

    void fall_back(Item& item) const {
        if (item.got.good() || !item.kept) return;
        if (clock_() - item.kept->fetched <= item.wanted.keep_for) item.use_kept(true);
    }

    void compare_clocks(const Item& item, const Answer& answer) {
        if (!answer.server_time) return;
        const seconds apart = std::chrono::abs(*answer.server_time - clock_());
        if (apart <= kClockSlack) return;
        remark_once(item.host(),
                    fmt::format("{}: its clock and this computer's differ by {}; check the clock",
                                item.host(), spoken(apart)));
    }

    void remark_once(const std::string& about, const std::string& sentence) {
        if (remarked_.insert(about).second && remark_) remark_(sentence);
    }

    const Transport* transport_;
    const DiskCache& cache_;
    const Fetcher::Clock& clock_;
    const Fetcher::Remark& remark_;
    std::vector<Item> items_;
    std::set<std::string> remarked_;  ///< hosts, and "" for the cache
};

}  // namespace

Fetcher::Fetcher(const Transport* transport, const DiskCache* cache, Clock clock, Remark remark)
    : transport_(transport), cache_(cache), clock_(std::move(clock)), remark_(std::move(remark)) {}

std::vector<Got> Fetcher::get(std::span<const Wanted> wanted) const {
    return Round(transport_, *cache_, clock_, remark_).run(wanted);
}

Got Fetcher::get(const Wanted& wanted) const {
    return std::move(get(std::span(&wanted, 1)).front());
}

}  // namespace mildway::fetch
