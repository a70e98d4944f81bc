// Runs the whole screen without a window: an ImGui context, real fonts, and a report of everything that was drawn.
#pragma once

#include <memory>
#include <vector>

#include "dashboard/screen.hpp"

namespace hushmill::test {

struct StageSettings {
  float width_px = 1280;
  float height_px = 720;
  float scale = 1;
  bool light = false;
  dashboard::Look look = dashboard::Look::bench;
  bool rig = true;
  bool report = true;  ///< keep what was drawn
};

class Stage {
 public:
  explicit Stage(const StageSettings& settings);
  ~Stage();
  Stage(const Stage&) = delete;
  Stage& operator=(const Stage&) = delete;

  /// Remembers the states as the dashboard would, then draws the last one; returns the commands that came of the input.
  std::vector<live::Command> show(const std::vector<live::State>& states, const dashboard::Input& input = {});
  /// The next state, remembered as the dashboard would, and its frame.
  void next(const live::State& state, const dashboard::Input& input);
  /// One more frame of the same.
  std::vector<live::Command> again(const dashboard::Input& input);

  const dashboard::Report& report() const { return report_; }
  const dashboard::Layout& layout() const { return layout_; }
  dashboard::ViewState& view() { return view_; }
  live::State& state() { return state_; }
  const dashboard::Typography& typography() const { return *typography_; }

  /// True when the screen's ordinary font has a glyph for every character.
  bool has_all_glyphs(const std::string& words) const;
  /// Text that contains the words, or null.
  const dashboard::DrawnText* find(const std::string& words) const;

 private:
  StageSettings settings_;
  dashboard::Layout layout_;
  std::unique_ptr<dashboard::Typography> typography_;
  dashboard::Report report_;
  dashboard::ViewState view_;
  dashboard::Session session_;
  dashboard::History history_;
  live::State state_;
};

}  // namespace hushmill::test
