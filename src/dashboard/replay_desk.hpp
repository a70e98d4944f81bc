// The past on the screen: keeps a film of the session that is on, opens what was kept, and decides which moment is
// shown.
//
// Looking back leaves listening alone. While a recording is open listening rests, since a microphone would hear the
// loudspeaker and take it for a cut; the band says which. The dashboard asks `past()` and draws state(), session() and
// history() of here instead of its own. [main thread; the disk is the shelf's]
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "dashboard/canvas.hpp"
#include "dashboard/history_view.hpp"
#include "dashboard/layout.hpp"
#include "dashboard/past_view.hpp"
#include "dashboard/session.hpp"
#include "dashboard/sessions_card.hpp"
#include "dashboard/view_state.hpp"
#include "live/film.hpp"
#include "live/replay.hpp"
#include "live/shelf.hpp"

namespace hushmill::dashboard {

class ReplayDesk {
 public:
  using Send = std::function<bool(const live::Command&)>;
  /// What was seen of the session that is on: for looking back after another screen had the window.
  struct Seen {
    live::Film film = live::Film();
    std::vector<listen::Episode> episodes;
    std::unique_ptr<live::Replay> replay;  ///< the recording that is open, held still
  };

  /// `folder` is the journal's, or empty.
  ReplayDesk(const std::filesystem::path& folder, Send to_live);

  /// Hands over what was seen and what is open, and takes it up again.
  Seen put_aside();
  void recall(Seen seen, ViewState& view);

  /// A state of the instrument as it comes.
  void heed(const live::State& live);
  /// Opens a sound file as if this card had been entered at its beginning.
  void open_file(const std::string& file, const live::CutCard& card, std::vector<live::ReplayStep> steps = {},
                 std::vector<advise::Trial> tried = {}, capture::Channel channel = capture::Channel::mix);
  /// Shows the list of what was kept.
  void open_list();

  /// Takes the keys and clicks that are meant for the past out of the input. Call before take_input().
  void take_input(const Canvas& canvas, const Layout& layout, const live::State& live, const Session& live_session,
                  ViewState& view, Input& input);
  /// True when the command was meant for what is shown and must not reach the instrument.
  bool take(const live::Command& command);
  /// Time passes: moves the moment, takes what the shelf has answered. Call once a frame, before drawing.
  void pass(double dt_s, const live::State& live, ViewState& view);

  bool past() const noexcept { return back_s_.has_value() || replay_ != nullptr; }
  const live::State& state() const noexcept { return state_; }
  /// How the speeds had fared by then.
  const Session& session() const noexcept { return session_; }
  History& history() noexcept { return history_; }
  /// The whole recording, for the strip; null for a look back, where the session that is on is the strip.
  const Session* whole() const noexcept { return replay_ ? &whole_ : nullptr; }

  /// The list and the keys, over everything else.
  void draw(Canvas& canvas, const Layout& layout, const Rect& window);

  bool list_open() const noexcept { return list_.has_value(); }

 private:
  void say(std::string hint);
  void look_back(double at_s, const live::State& live);
  void back_to_now(ViewState& view);
  void opened(std::unique_ptr<live::Replay> replay, ViewState& view);
  bool list_key(const std::string& key, const live::State& live);
  bool past_key(const std::string& key, ViewState& view);
  void open_chosen(const live::CutCard& card);
  void take_tried(const live::Shelf::Tried& tried, const live::State& live);
  void seek(double at_s);
  void loop();
  void step_speed(int by);
  void to_episode(int by);
  void follow();
  void rebuild(double at_s);
  void note_episodes(const live::State& state, std::vector<listen::Episode>& episodes) const;
  const std::vector<listen::Episode>& episodes() const noexcept { return replay_ ? replay_episodes_ : live_episodes_; }
  PastView view_of(const live::State& live) const;

  Send to_live_;
  live::Shelf shelf_;
  live::Film film_;
  std::vector<listen::Episode> live_episodes_, replay_episodes_;

  // A look back.
  std::optional<double> back_s_;
  bool playing_ = false;
  double speed_ = 1;
  std::string hint_;
  double hint_s_ = 0;

  // A replay.
  std::unique_ptr<live::Replay> replay_;
  live::ReplayView replay_view_;
  std::uint64_t hearing_ = 0;
  double taken_s_ = -1;
  Session whole_;

  // What is shown.
  live::State state_;
  Session session_;
  History history_;
  double shown_s_ = -1;

  std::optional<SessionsCard> list_;
  /// Sessions whose trials were taken, newest last, and what was known before the first.
  std::vector<live::Shelf::Tried> taken_;
  std::vector<advise::Trial> known_;
  bool keys_ = false;
  bool of_recording_ = false;  // what is on is a recording itself
  bool opening_ = false;
};

/// The strip of the timeline within its panel.
Rect timeline_strip(const Canvas& canvas, const Rect& rect);

}  // namespace hushmill::dashboard
