#include "mildway/base/file_lock.hpp"
#include "mildway/base/files.hpp"
#include "mildway/notices/sending.hpp"
#include "mildway/reports/notify_report.hpp"

#include "command.hpp"
#include "options.hpp"

#include <algorithm>
#include <cctype>
#include <map>

#include <fmt/format.h>

namespace mildway::cli {

namespace {

constexpr const char* kLockFile = "notify.lock";

struct NotifyOptions {
    std::vector<std::string> orders;
    std::string kind;
    bool show = false;
    std::string dry_run;
    bool send = false;
    bool list = false;
    bool told = false;
    std::optional<std::int64_t> settle;
    std::string settle_as;
};

const std::map<std::string, orders::MessageState>& settled_states() {
    static const std::map<std::string, orders::MessageState> states{
        {"sent", orders::MessageState::sent},
        {"again", orders::MessageState::written},
        {"dropped", orders::MessageState::dropped}};
    return states;
}

void add_notify_options(CLI::App& command, NotifyOptions& options) {
    std::vector<std::string> kinds;
    for (const notices::Kind kind : notices::all_kinds()) kinds.emplace_back(notices::kind_name(kind));
    auto* order = command.add_option("order", options.orders, "Numbers of orders (default: all)");
    command
        .add_option("--kind", options.kind,
                    "Only messages of this kind; delay: also before the time has passed")
        ->check(CLI::IsMember(kinds));
    auto* show = command.add_flag("--show", options.show, "Print the whole text of each message");
    auto* dry = command.add_option("--dry-run", options.dry_run,
                                   "Write what would be sent as .eml files into this folder");
    auto* send = command.add_flag("--send", options.send,
                                  "Write what is due into the outbox and send all that waits there");
    auto* list = command.add_flag("--list", options.list, "Show the outbox");
    auto* settle =
        command.add_option("--settle", options.settle,
                           "Number of a message in doubt or refused: say with --as what became of it");
    auto* as = command.add_option("--as", options.settle_as, "sent, again (send the same bytes) or dropped")
                   ->check(CLI::IsMember({"sent", "again", "dropped"}));
    command
        .add_flag("--told", options.told,
                  "You have told the buyers of these orders another way: tick off what is due")
        ->needs(order)
        ->excludes(show)
        ->excludes(dry)
        ->excludes(send)
        ->excludes(list)
        ->excludes(settle);
    settle->needs(as);
    as->needs(settle);
    settle->excludes(show)->excludes(dry)->excludes(send)->excludes(list);
    send->excludes(show)->excludes(dry)->excludes(list);
    list->excludes(show)->excludes(dry);
}

/// For the one run that writes into the outbox and sends.
FileLock lock_or_fail(const planning::Workspace& workspace) {
    const auto file = workspace.folder / kLockFile;
    if (auto lock = FileLock::try_lock(file)) return std::move(*lock);
    const auto holder = lock_holder(file);
    throw SystemError(
        fmt::format("another run is sending messages just now{}; nothing was done, try again later",
                    holder ? fmt::format(" (process {})", *holder) : ""));
}

bool on_the_wire(const std::vector<orders::Message>& messages) {
    return std::any_of(messages.begin(), messages.end(),
                       [](const orders::Message& one) { return one.state == orders::MessageState::on_wire; });
}

/// To be asked only when something is on the wire: asking holds the lock for a moment.
bool is_sending(const planning::Workspace& workspace) {
    const auto file = workspace.folder / kLockFile;
    std::error_code error;
    return std::filesystem::exists(file, error) && !FileLock::try_lock(file);
}

/// Two messages never have the same.
std::string file_name_of(const orders::Message& message) {
    std::string name;
    for (const char c : message.number) {
        const auto octet = static_cast<unsigned char>(c);
        const bool plain = std::isalnum(octet) != 0 || c == '.' || c == '-';
        name += plain ? std::string(1, c) : fmt::format("_{:02X}", octet);
    }
    const std::string issue = message.issue == 1 ? "" : fmt::format(".{}", message.issue);
    return fmt::format("{}-{}-{}{}.eml", name, message.kind, message.version, issue);
}

/// What is due and what waits, with the bytes that would go out.
std::vector<std::string> write_files(const std::string& folder, const reports::Post& post,
                                     orders::OrderBook& book) {
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (error) throw SystemError(fmt::format("{}: the folder cannot be made: {}", folder, error.message()));
    std::vector<std::string> files;
    const auto write = [&](const orders::Message& message, const std::string& bytes) {
        const auto file = std::filesystem::path(folder) / file_name_of(message);
        write_file(file, bytes, {.flush = true, .for_owner_alone = true});
        files.push_back(file.string());
    };
    for (const notices::Composed& one : post.due) write(one.message, one.message.bytes);
    for (const orders::Message& one : post.waiting) write(one, orders::Outbox(book).message(one.id).bytes);
    return files;
}

int needs_person(bool needs) {
    return needs ? kNeedsPerson : kDone;
}

int list_outbox(const planning::Workspace& workspace, const CommonOptions& common, Console& console) {
    orders::OrderBook book(workspace.folder / orders::kBookFile);
    const auto messages = orders::Outbox(book).messages();
    console.out << (common.json ? reports::outbox_json(messages) : reports::outbox_text(messages));
    return needs_person(std::any_of(messages.begin(), messages.end(), [](const orders::Message& one) {
        return one.state == orders::MessageState::in_doubt || one.state == orders::MessageState::refused ||
               one.state == orders::MessageState::on_wire;
    }));
}

int settle_one(const NotifyOptions& options, const planning::Workspace& workspace,
               const CommonOptions& common, Console& console) {
    const FileLock lock = lock_or_fail(workspace);
    orders::OrderBook book(workspace.folder / orders::kBookFile, orders::OrderBook::Access::write);
    orders::Outbox outbox(book);
    (void)outbox.recover(now_of(common, console));
    outbox.settle(options.settle.value(), settled_states().at(options.settle_as));
    const std::vector<orders::Message> settled{outbox.message(options.settle.value())};
    console.out << (common.json ? reports::outbox_json(settled) : reports::outbox_text(settled));
    return kDone;
}

int preview(const NotifyOptions& options, const reports::Writing& writing, const reports::PostWish& asked,
            const CommonOptions& common, Console& console) {
    orders::OrderBook book(writing.workspace.folder / orders::kBookFile);
    const Instant now = now_of(common, console);
    reports::Post post = reports::post_due(book, writing, asked, now);
    if (on_the_wire(post.needs_person) && is_sending(writing.workspace)) {
        reports::PostWish wish = asked;
        wish.other_run = true;
        post = reports::post_due(book, writing, wish, now);
    }
    std::vector<std::string> files;
    if (!options.dry_run.empty()) files = write_files(options.dry_run, post, book);
    if (common.json) {
        console.out << reports::notify_preview_json(post, files);
    } else {
        console.out << reports::notify_preview_text(post, options.show);
        if (!options.dry_run.empty())
            console.out << fmt::format("{} written to {}\n",
                                       files.size() == 1 ? "1 file" : fmt::format("{} files", files.size()),
                                       options.dry_run);
    }
    return needs_person(reports::needs_person(post));
}

int tick_off(const reports::Writing& writing, const reports::PostWish& wish, const CommonOptions& common,
             Console& console) {
    const FileLock lock = lock_or_fail(writing.workspace);
    const Instant now = now_of(common, console);
    orders::OrderBook book(writing.workspace.folder / orders::kBookFile, orders::OrderBook::Access::write);
    orders::Outbox outbox(book);
    (void)outbox.recover(now);
    std::vector<orders::Message> told;
    for (const auto& one : reports::told_another_way(reports::post_due(book, writing, wish, now), wish))
        told.push_back(outbox.message(outbox.told(one, now)));
    if (common.json) {
        console.out << reports::outbox_json(told);
    } else {
        console.out << (told.empty() ? "Nothing was to be told.\n" : reports::outbox_text(told));
    }
    return kDone;
}

int send(const reports::Writing& writing, const reports::PostWish& wish, const CommonOptions& common,
         Console& console) {
    if (common.offline)
        throw UsageError("--offline asks nobody, so nothing can be sent; leave out one of the two");
    const auto sender = notices::smtp_sender(writing.mail);
    const FileLock lock = lock_or_fail(writing.workspace);
    const Instant now = now_of(common, console);
    orders::OrderBook book(writing.workspace.folder / orders::kBookFile, orders::OrderBook::Access::write);
    orders::Outbox outbox(book);
    // first, so that what an earlier run left claimed can be overtaken like anything that waits
    const std::vector<orders::Message> recovered = outbox.recover(now);
    const reports::Post post = reports::post_due(book, writing, wish, now);
    for (const orders::Message& message : post.superseded) (void)outbox.overtake(message.id);
    for (const orders::Message& message : post.waiting) outbox.stands(message.id, message.order_revision);
    for (const notices::Composed& one : post.due) (void)outbox.write(one.message);
    const notices::SendReport report = notices::send_waiting(outbox, *sender, now);
    console.out << (common.json ? reports::notify_sent_json(post, report)
                                : reports::notify_sent_text(post, report));
    if (!report.stopped.empty()) {
        console.err << fmt::format(
            "mildway: {}:{} cannot be used to send: {}\nWhat was not sent waits; run notify --send again.\n",
            writing.mail.host, writing.mail.port, report.stopped);
        return kSystemFailure;
    }
    const bool all_taken =
        std::all_of(report.tried.begin(), report.tried.end(),
                    [](const notices::Sent& one) { return one.delivery.fate == notices::Fate::taken; });
    return needs_person(!all_taken || !recovered.empty() || !report.changed.empty() ||
                        reports::needs_person(post));
}

int run_notify(const NotifyOptions& options, const CommonOptions& common, Console& console) {
    const auto workspace = open_workspace(common, console);
    if (options.list) return list_outbox(workspace, common, console);
    if (options.settle) return settle_one(options, workspace, common, console);
    const auto mail =
        notices::MailSettings::read(ConfigNode::load(workspace.folder / "mail.json"), workspace.folder);
    const auto templates = notices::Templates::load(workspace.folder / notices::kMessagesFolder);
    const reports::Writing writing{workspace, templates, mail};
    const reports::PostWish wish{options.orders, notices::kind_of(options.kind), false};
    if (options.told) return tick_off(writing, wish, common, console);
    return options.send ? send(writing, wish, common, console)
                        : preview(options, writing, wish, common, console);
}

}  // namespace

Command notify_command() {
    return simple_command<NotifyOptions>("notify", "Messages to buyers: compose, preview, send",
                                         add_notify_options, run_notify);
}

}  // namespace mildway::cli
