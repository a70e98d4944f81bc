// The tools of the job and the cuts in files, on the screen: one key to the next tool, a word when the sound fits another tool of
// the list, a card from which a cut is picked and on which the present one is written down. [main thread; the disk is the shelf's]
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "dashboard/canvas.hpp"
#include "dashboard/layout.hpp"
#include "dashboard/view_state.hpp"
#include "live/command.hpp"
#include "live/shelf.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

using Tools = std::vector<journal::ToolRow>;

/// "T3 End mill 12 mm".
Words tool_words(const journal::ToolRow& tool);
/// The card with this tool in the spindle: its flutes, diameter and limit; speed, depths and feed are the program's.
live::CutCard card_with(const journal::ToolRow& tool, const live::CutCard& card);
/// The tool of the list that the card is of; none when it is of none or of several.
std::optional<std::size_t> tool_on(const Tools& tools, const live::CutCard& card, const std::string& taken_up);
/// The tool of the list whose flutes the sound fits at the entered speed, where it does not fit those of the card. None when the
/// sound says another speed, or when two tools of the list fit.
std::optional<std::size_t> tool_that_fits(const Tools& tools, const live::CutCard& card, const std::optional<listen::OtherFit>& heard);

class ToolsDesk {
 public:
  struct Settings {
    std::filesystem::path kept_folder;                 ///< the journal's, or empty
    std::string job;                                   ///< whose tools they are, or empty
    std::vector<std::filesystem::path> cut_folders;    ///< the first is where cuts are written
  };
  explicit ToolsDesk(const Settings& settings);

  /// Takes the keys that are meant for the card, or for a tool. Call before take_input(), where the past is not shown.
  void take_input(const live::State& state, ViewState& view, Input& input, std::vector<live::Command>& commands);
  void pass(double dt_s, const live::State& state);
  /// One line for the cut card: the tool, or that the sound fits another; empty when there is nothing to say.
  Words words(const live::State& state) const;
  void draw(Canvas& canvas, const Rect& window, Units units);

  bool open() const noexcept { return open_; }

 private:
  struct Line {
    std::string title, what;
    std::string trouble;
    std::optional<std::size_t> cut;  ///< in the list; none: write the present one down
  };
  void lay_out();
  void next_tool(const live::State& state, ViewState& view, std::vector<live::Command>& commands);
  void enter(const live::State& state, ViewState& view, std::vector<live::Command>& commands);

  Settings settings_;
  live::Shelf shelf_;
  Tools tools_;
  std::string news_;
  double news_s_ = 0;

  bool open_ = false;
  bool answered_ = false;
  std::string words_;
  live::Shelf::Cuts cuts_;
  std::vector<Line> lines_;
  std::size_t selected_ = 0;
  std::string trouble_;
};

/// Opens the card of cuts; the next tool.
inline constexpr const char* kCutsKey = "S";
inline constexpr const char* kNextToolKey = "N";

}  // namespace hushmill::dashboard
