#include "dashboard/dashboard.hpp"

#include <chrono>
#include <cmath>
#include <functional>
#include <utility>
#include <vector>

#include "dashboard/pending.hpp"
#include "dashboard/png_file.hpp"
#include "dashboard/replay_desk.hpp"
#include "dashboard/replay_keys.hpp"
#include "dashboard/report_file.hpp"
#include "dashboard/screen.hpp"
#include "dashboard/tools_desk.hpp"

namespace hushmill::dashboard {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double kFrameS = 1.0 / 40;    // as often as states come
constexpr double kRestingFrameS = 0.1;  // while nobody cuts and nobody touches anything
constexpr double kLookS = 0.006;        // for a new verdict, which is drawn at once
constexpr double kRestingLookS = 0.025;
constexpr double kDrawingShare = 0.5;   // a slow screen draws half of the time at most, so that a verdict finds it free
constexpr double kRestAfterS = 5;
constexpr double kLookAgainS = 3;  // for a microphone, while there is none
constexpr double kRememberEveryS = 1;
constexpr double kReportEveryS = 0.25;

double seconds_between(Clock::time_point from, Clock::time_point to) {
  return std::chrono::duration<double>(to - from).count();
}

/// The unit in coarse steps, so that fonts are not baked anew for every pixel of a window being dragged larger.
float coarse(float unit) { return std::max(0.5F, std::floor(unit * 16) / 16); }

/// What was baked for which layout.
struct BakedFor {
  float unit = 0;
  float capital_px = 0;
  bool operator==(const BakedFor&) const = default;
};

class Run {
 public:
  Run(const DashboardSettings& settings, const InstrumentDoor& door, Remembered* remembered)
      : settings_(settings),
        remembered_(remembered),
        door_(door),
        fonts_(find_fonts(usual_font_folders())),
        window_({settings.title, settings.width, settings.height}),
        replay_(settings.kept_folder, door.send),
        tools_({settings.kept_folder, settings.job, settings.cut_folders}) {
    view_.look = settings.look;
    view_.light = settings.light_theme;
    view_.logarithmic = settings.logarithmic;
    view_.units = settings.units;
    if (settings.full_screen) full_screen(true);
    if (settings.greet) greet(settings.greet_trouble);
    if (remembered_ && remembered_->filled) {
      session_ = std::move(remembered_->session);
      history_ = std::move(remembered_->history);
      history_.make_all_dirty();
      replay_.recall(std::move(remembered_->seen), view_);
      view_.undo = std::move(remembered_->undo);
      take(remembered_->liking);
      *remembered_ = {};
    } else if (const auto& recording = settings.recording) {
      replay_.open_file(recording->file, recording->card, recording->steps, recording->tried, recording->channel);
    }
  }

  int until_closed() {
    started_ = last_frame_ = last_news_ = last_look_ = Clock::now();
    while (!window_.close_wanted() && !view_.close_wanted && !over() && !(settings_.end_asked && settings_.end_asked())) step();
    remember();
    if (!settings_.drawn_text_file.empty() && !shot_)
      write_report(settings_.drawn_text_file, report_, window_.width_px(), window_.height_px());
    if (view_.elsewhere && remembered_) *remembered_ = {true, std::move(session_), std::move(history_), replay_.put_aside(), std::move(view_.undo), liking()};
    if (view_.elsewhere && door_.go) door_.go(*view_.elsewhere, state_.card);
    return 0;
  }

 private:
  double age_s() const { return seconds_between(started_, Clock::now()); }
  /// A picture that was asked for is taken before the time is over, however slow the machine.
  bool over() const {
    const bool picture_due = settings_.screenshot_after_s && !shot_;
    return !picture_due && settings_.close_after_s && age_s() >= *settings_.close_after_s;
  }

  void step() {
    const bool was_lively = seconds_between(last_news_, last_look_) < kRestAfterS;
    const double wait_s = (was_lively ? kLookS : kRestingLookS) - seconds_between(last_look_, Clock::now());
    Input input = window_.take_input(std::max(0.001, wait_s));
    last_look_ = Clock::now();
    const listen::Verdict before = state_.snapshot.verdict;
    while (door_.poll(state_)) {
      pending_.overlay(state_, age_s());
      session_.add(state_);
      replay_.heed(state_);
      if (!view_.held) history_.add(state_.snapshot);
    }
    const bool touched =
        !input.keys.empty() || !input.typed.empty() || !input.dropped.empty() || input.clicked || input.mouse_down ||
        input.wheel != 0 || replay_.past() || replay_.list_open() || tools_.open();
    const bool cutting = state_.snapshot.verdict != listen::Verdict::no_cut;
    if (touched || cutting || state_.snapshot.verdict != before) last_news_ = last_look_;
    // A quiet shop is drawn seldom; a new verdict or a key at once.
    const bool lively = seconds_between(last_news_, last_look_) < kRestAfterS;
    const double due_s = lively ? std::max(kFrameS, drawing_s_ / kDrawingShare) : kRestingFrameS;
    const bool at_once = touched || state_.snapshot.verdict != before;
    if (!at_once && seconds_between(last_frame_, last_look_) < due_s - 0.002) return;
    input.dt_s = seconds_between(last_frame_, last_look_);
    last_frame_ = last_look_;
    const bool shoot_now = settings_.screenshot_after_s && !shot_ && age_s() >= *settings_.screenshot_after_s;
    Pixels pixels;
    frame(input, shoot_now ? &pixels : nullptr);
    drawing_s_ += 0.2 * (seconds_between(last_frame_, Clock::now()) - drawing_s_);
    if (shoot_now) keep(pixels);
    follow_greeting();
    // Without a picture to go with, the list of what is drawn is kept fresh.
    if (wants_report() && !settings_.screenshot_after_s && age_s() >= reported_s_ + kReportEveryS) {
      write_report(settings_.drawn_text_file, report_, window_.width_px(), window_.height_px());
      reported_s_ = age_s();
    }
    if (age_s() >= remembered_s_ + kRememberEveryS) remember();
  }

  void frame(Input& input, Pixels* pixels) {
    replay_.pass(input.dt_s, state_, view_);
    tools_.pass(input.dt_s, state_);
    view_.tool = replay_.past() ? Words() : tools_.words(state_);
    const bool past = replay_.past();
    History& history = past ? replay_.history() : history_;
    if (past != painted_past_) history.make_all_dirty();
    painted_past_ = past;
    Layout layout = laid_out();
    const Theme theme = view_.light ? light_theme() : dark_theme();
    if (painted_light_ != view_.light) history.make_all_dirty();
    painted_light_ = view_.light;
    window_.paint_history(history, history.take_dirty(), theme);
    const Scene scene{past ? replay_.state() : state_, past ? replay_.session() : session_, history, window_.history_texture(),
                      past ? replay_.whole() ? replay_.whole() : &session_ : nullptr};
    std::vector<live::Command> commands;
    report_.texts.clear();
    report_.marks.clear();
    const bool was_full = view_.full_screen;
    const auto draw = [&](ImDrawList& list) {
      Canvas canvas(list, *typography_, theme, wants_report() ? &report_ : nullptr);
      if (!tools_.open()) replay_.take_input(canvas, layout, state_, session_, view_, input);
      if (!past && !replay_.list_open()) tools_.take_input(state_, view_, input, commands);
      dashboard::take_input(canvas, layout, scene, view_, input, commands);
      draw_screen(canvas, layout, scene, view_, input);
      replay_.draw(canvas, layout, sessions_window(layout));
      tools_.draw(canvas, sessions_window(layout), view_.units);
    };
    window_.draw(theme, input.dt_s, std::cref(draw), pixels);  // a reference: handing it over allocates nothing
    if (door_.drawn) door_.drawn(state_);
    for (const live::Command& command : commands) {
      if (past && replay_.take(command)) continue;
      if (!door_.send(command)) continue;
      pending_.sent(command, age_s());
      foresee(command, state_);
    }
    if (view_.full_screen != was_full) window_.set_full_screen(view_.full_screen);
  }

  Layout laid_out() {
    LayoutRequest request;
    request.width_px = static_cast<float>(window_.width_px());
    request.height_px = static_cast<float>(window_.height_px());
    request.scale = settings_.scale > 0 ? static_cast<float>(settings_.scale) : window_.scale();
    request.look = view_.look;
    request.rig = (replay_.past() ? replay_.state() : state_).rig.has_value();
    Layout layout = lay_out(request);
    const BakedFor wanted{coarse(layout.unit), layout.capital_px};
    if (!(wanted == baked_for_)) {
      typography_ = &window_.set_fonts(fonts_, wanted.unit, wanted.capital_px);
      baked_for_ = wanted;
    }
    return layout;
  }

  void greet(const std::string& trouble) {
    if (!door_.offer || !door_.open) return;
    view_.greeting = make_greeting(door_.offer(), trouble, !settings_.greet || opened_);
    offered_s_ = age_s();
  }

  void follow_greeting() {
    if (view_.greeting_wanted) {
      view_.greeting_wanted = false;
      greet({});
      if (view_.greeting && !view_.dropped_file.empty()) drop_file(*view_.greeting, view_.dropped_file);
      view_.dropped_file.clear();
    }
    if (!view_.greeting) return;
    Greeting& greeting = *view_.greeting;
    if (greeting.offer.microphones.empty() && age_s() >= offered_s_ + kLookAgainS) {
      renew(greeting, door_.offer());
      offered_s_ = age_s();
    }
    if (!greeting.open_wanted) return;
    greeting.open_wanted = false;
    const auto choice = choice_of(greeting);
    if (!choice) return;
    greeting.trouble = door_.open(*choice);
    if (!greeting.trouble.empty()) return;
    begin_anew();
    if (choice->kind == live::SourceKind::recording) replay_.open_file(choice->file, choice->card);
  }

  /// Another source: nothing of the one before may be left on the screen.
  void begin_anew() {
    opened_ = true;
    view_.greeting.reset();
    view_.held.reset();
    view_.hz_zoom.reset();
    view_.editing.reset();
    view_.undo.clear();
    view_.hearing = false;
    state_ = {};
    session_ = {};
    history_ = {};
    history_.make_all_dirty();
    pending_ = {};
  }

  void remember() {
    remembered_s_ = age_s();
    if (!door_.remember || state_.source.name.empty() || (view_.greeting && !view_.greeting->may_leave)) return;
    door_.remember(liking(), state_.card);
  }

  Liking liking() const {
    const WindowSize size = window_.size();
    return {size.width, size.height, view_.light, view_.full_screen, view_.logarithmic, view_.look, view_.units};
  }

  void take(const Liking& liking) {
    view_.look = liking.look;
    view_.light = liking.light_theme;
    view_.logarithmic = liking.logarithmic;
    view_.units = liking.units;
    full_screen(liking.full_screen);
  }

  void full_screen(bool full) {
    view_.full_screen = full;
    window_.set_full_screen(full);
  }

  bool wants_report() const { return !settings_.drawn_text_file.empty(); }

  void keep(const Pixels& pixels) {
    shot_ = true;
    if (!settings_.screenshot_file.empty()) {
      write_png(settings_.screenshot_file, pixels.width, pixels.height, pixels.rgba);
    }
    if (wants_report()) write_report(settings_.drawn_text_file, report_, window_.width_px(), window_.height_px());
  }

  const DashboardSettings& settings_;
  Remembered* remembered_;
  const InstrumentDoor& door_;
  FontFiles fonts_;
  Window window_;
  const Typography* typography_ = nullptr;
  BakedFor baked_for_;
  live::State state_;
  Session session_;
  History history_;
  Pending pending_;
  ViewState view_;
  ReplayDesk replay_;
  ToolsDesk tools_;
  Report report_;
  bool painted_light_ = false, painted_past_ = false;
  bool opened_ = false;  // a source was chosen in the greeting
  double drawing_s_ = 0;  // how long a frame takes, with the graphics driver
  double offered_s_ = 0, remembered_s_ = 0, reported_s_ = 0;
  bool shot_ = false;
  Clock::time_point started_ = Clock::now(), last_look_, last_frame_, last_news_;
};

}  // namespace

int run_dashboard(const DashboardSettings& settings, const InstrumentDoor& door, Remembered* remembered) {
  return Run(settings, door, remembered).until_closed();
}

}  // namespace hushmill::dashboard
