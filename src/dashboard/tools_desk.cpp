#include "dashboard/tools_desk.hpp"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <utility>

#include "dashboard/action.hpp"
#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kNewsS = 5;
constexpr double kSameSpeed = 0.008;  // true speeds mostly differ from the entered ones by less
constexpr double kSameDiameterMm = 0.005;
constexpr std::size_t kLongestTitle = 80;
constexpr std::size_t kMostUndo = 64;
constexpr float kLine = 24;

std::string lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

void change_to(const live::State& state, const live::CutCard& card, ViewState& view,
               std::vector<live::Command>& commands) {
  view.undo.push_back(state.card);
  if (view.undo.size() > kMostUndo) view.undo.erase(view.undo.begin());
  for (const live::Command& command : change_card(state, card)) commands.push_back(command);
}

std::string what_of(const setup::CutSheet& sheet, Units units) {
  std::string what = "S" + std::to_string(std::lround(sheet.programmed_rpm)) + kDot + counted(sheet.flutes) +
                     (sheet.flutes == 1 ? " flute" : " flutes");
  const double per_unit = units == Units::inch ? kMmPerInch : 1;
  if (sheet.diameter_mm)
    what += kDot + trimmed(*sheet.diameter_mm / per_unit, units == Units::inch ? 3 : 2) + kThinGap +
            (units == Units::inch ? "in" : "mm");
  for (const auto& part : {sheet.tool, sheet.material})
    if (!part.empty()) what += kDot + part;
  return what;
}

}  // namespace

Words tool_words(const journal::ToolRow& tool) { return "T" + std::to_string(tool.number) + " " + tool.name; }

live::CutCard card_with(const journal::ToolRow& tool, const live::CutCard& card) {
  live::CutCard changed = card;
  changed.flutes = static_cast<int>(tool.flutes);
  changed.diameter_mm = tool.diameter_mm;
  changed.tool_max_rpm = tool.max_rpm;
  changed.pitch_pattern_teeth = 1;  // the list does not say, and the one before was another
  changed.unequal_pitch = false;
  // A width beyond the diameter is none.
  if (changed.diameter_mm && changed.radial_mm && *changed.radial_mm > *changed.diameter_mm) changed.radial_mm.reset();
  return changed;
}

std::optional<std::size_t> tool_on(const Tools& tools, const live::CutCard& card, const std::string& taken_up) {
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < tools.size(); ++i) {
    if (tools[i].flutes != card.flutes) continue;
    if (tool_words(tools[i]) == taken_up) return i;
    const bool same = card.diameter_mm && tools[i].diameter_mm &&
                      std::abs(*card.diameter_mm - *tools[i].diameter_mm) < kSameDiameterMm;
    if (!same) continue;
    if (found) return std::nullopt;
    found = i;
  }
  return found;
}

std::optional<std::size_t> tool_that_fits(const Tools& tools, const live::CutCard& card,
                                          const std::optional<listen::OtherFit>& heard) {
  if (!heard || !(card.entered_rpm() > 0) || std::abs(heard->spindle_rpm / card.entered_rpm() - 1) > kSameSpeed)
    return std::nullopt;
  if (heard->flutes == card.comb_flutes()) return std::nullopt;
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < tools.size(); ++i) {
    if (tools[i].flutes != heard->flutes) continue;
    if (found) return std::nullopt;
    found = i;
  }
  return found;
}

ToolsDesk::ToolsDesk(const Settings& settings) : settings_(settings), shelf_(settings.kept_folder) {
  if (!settings_.job.empty()) shelf_.ask_tools(settings_.job);
}

Words ToolsDesk::words(const live::State& state) const {
  if (const auto fits = tool_that_fits(tools_, state.card, state.other_fit))
    return "Sounds like " + tool_words(tools_[*fits]) + ": N takes it";
  if (news_s_ > 0) return news_;
  if (const auto on = tool_on(tools_, state.card, state.taken_up)) return tool_words(tools_[*on]);
  return state.taken_up;
}

void ToolsDesk::next_tool(const live::State& state, ViewState& view, std::vector<live::Command>& commands) {
  if (tools_.empty()) {
    news_ = settings_.job.empty() ? "No job: --job NAME has tools" : "No tools yet: hushmill journal tool";
    news_s_ = kNewsS;
    return;
  }
  const auto fits = tool_that_fits(tools_, state.card, state.other_fit);
  const auto on = tool_on(tools_, state.card, state.taken_up);
  const journal::ToolRow& tool = tools_[fits ? *fits : on ? (*on + 1) % tools_.size() : 0];
  news_s_ = 0;
  commands.emplace_back(live::TakeUp{live::TakeUp::What::tool, tool_words(tool)});
  change_to(state, card_with(tool, state.card), view, commands);
  if (settings_.job.empty()) return;
  shelf_.ask_tools(settings_.job);  // another window may have added one
}

void ToolsDesk::lay_out() {
  lines_.clear();
  if (!words_.empty()) lines_.push_back({"Write down as \"" + words_ + "\"", "the cut that is on the card", {}, {}});
  const std::string wanted = lower(words_);
  for (std::size_t i = 0; i < cuts_.list.size(); ++i) {
    const auto& cut = cuts_.list[i];
    const std::string title = cut.trouble.empty() ? cut.sheet.title : cut.file.filename().string();
    if (lower(title + " " + cut.sheet.tool + " " + cut.sheet.material + " " + cut.sheet.machine).find(wanted) ==
        std::string::npos)
      continue;
    lines_.push_back({title, {}, cut.trouble, i});
  }
  selected_ = lines_.empty() ? 0 : std::min(selected_, lines_.size() - 1);
}

void ToolsDesk::enter(const live::State& state, ViewState& view, std::vector<live::Command>& commands) {
  if (selected_ >= lines_.size()) return;
  const Line& line = lines_[selected_];
  if (!line.cut) {
    auto sheet = live::sheet_of(state.card);
    sheet.title = words_;
    if (const auto on = tool_on(tools_, state.card, state.taken_up)) sheet.tool = tools_[*on].name;
    if (settings_.cut_folders.empty()) {
      trouble_ = "There is no folder to write to: neither XDG_CONFIG_HOME nor HOME is set.";
      return;
    }
    shelf_.write_cut(sheet, view.units == Units::inch ? setup::LengthUnit::inch : setup::LengthUnit::millimetre,
                     settings_.cut_folders.front());
    return;
  }
  if (!line.trouble.empty()) {
    trouble_ = line.trouble;
    return;
  }
  const auto& cut = cuts_.list[*line.cut];
  commands.emplace_back(live::TakeUp{live::TakeUp::What::setup, cut.sheet.title});
  change_to(state, live::card_of(cut.sheet), view, commands);
  open_ = false;
}

void ToolsDesk::take_input(const live::State& state, ViewState& view, Input& input,
                           std::vector<live::Command>& commands) {
  if (view.editing || view.greeting) return;
  const auto keys = std::exchange(input.keys, {});
  if (!open_) {
    for (const std::string& key : keys) {
      if (key == kCutsKey && !open_) {
        open_ = true;
        answered_ = false;
        words_.clear();
        trouble_.clear();
        cuts_ = {};
        lay_out();
        shelf_.ask_cuts(settings_.cut_folders);
        input.typed.clear();
      } else if (key == kNextToolKey) {
        next_tool(state, view, commands);
      } else {
        input.keys.push_back(key);
      }
    }
    return;
  }
  for (const char32_t c : input.typed)
    if (c >= 0x20 && c < 0x7F && words_.size() < kLongestTitle) words_ += static_cast<char>(c);
  if (!input.typed.empty()) {
    trouble_.clear();
    lay_out();
  }
  input.typed.clear();
  input.clicked = false;
  for (const std::string& key : keys) {
    if (key == "Esc") open_ = false;
    if (key == "Backspace" && !words_.empty()) {
      words_.pop_back();
      trouble_.clear();
      lay_out();
    }
    if (key == "Up" && selected_ > 0) --selected_, trouble_.clear();
    if (key == "Down" && selected_ + 1 < lines_.size()) ++selected_, trouble_.clear();
    if (key == "Enter") enter(state, view, commands);
    if (key == "Ctrl+Q" || key == "F11") input.keys.push_back(key);
    if (!open_) break;
  }
}

void ToolsDesk::pass(double dt_s, const live::State&) {
  news_s_ = std::max(0.0, news_s_ - dt_s);
  live::Shelf::Answer answer;
  while (shelf_.take(answer)) {
    if (auto* tools = std::get_if<live::Shelf::Tools>(&answer)) {
      tools_ = std::move(tools->list);
    } else if (auto* cuts = std::get_if<live::Shelf::Cuts>(&answer)) {
      cuts_ = std::move(*cuts);
      answered_ = true;
      lay_out();
    } else if (const auto* written = std::get_if<live::Shelf::Written>(&answer)) {
      news_ = "Written to " + written->file.filename().string();
      news_s_ = kNewsS;
      open_ = false;
    } else if (const auto* trouble = std::get_if<live::Shelf::Trouble>(&answer)) {
      trouble_ = trouble->text;
    }
  }
}

void ToolsDesk::draw(Canvas& canvas, const Rect& window, Units units) {
  if (!open_) return;
  const Theme& theme = canvas.theme();
  canvas.enter("Cuts");
  canvas.fill(window, theme.ground, 0, 0.72);
  const float width = std::min(canvas.px(760), window.w - canvas.px(16)),
              height = std::min(canvas.px(440), window.h - canvas.px(16));
  const Rect card{window.middle_x() - width / 2, window.middle_y() - height / 2, width, height};
  const Rect inside = draw_panel(canvas, card, "Cuts on file", "Enter takes, Esc closes");
  canvas.outline(card, theme.mark, canvas.px(1), canvas.px(6));
  canvas.enter("Cuts");
  const Rect field = inside.top(canvas.px(26));
  canvas.fill(field, theme.well, canvas.px(3));
  canvas.outline(field, theme.mark, canvas.px(1), canvas.px(3));
  canvas.text(field.inset(canvas.px(8), 0),
              words_.empty() ? "Type words to find a cut, or a name to write the present one down" : words_,
              {.size = 14, .colour = words_.empty() ? theme.dim : theme.ink});
  const Rect below = inside.below(canvas.px(34));
  const Rect list = below.top(std::max(0.0F, below.h - canvas.px(56)));
  const auto shown = static_cast<std::size_t>(std::max(1.0F, list.h / canvas.px(kLine)));
  const std::size_t first = selected_ >= shown ? selected_ - shown + 1 : 0;
  for (std::size_t i = first; i < lines_.size() && i < first + shown; ++i) {
    const Line& line = lines_[i];
    const Rect row{list.x, list.y + static_cast<float>(i - first) * canvas.px(kLine), list.w, canvas.px(kLine)};
    if (i == selected_) {
      canvas.fill(row, theme.well, canvas.px(3));
      canvas.outline(row, theme.ink, canvas.px(1.5F), canvas.px(3));
    }
    const Rect in = row.inset(canvas.px(8), 0);
    const bool bad = !line.trouble.empty();
    const float title = in.w * 0.4F;
    canvas.text(
        in.left(title), line.title,
        {.size = 13, .weight = i == selected_ ? Weight::bold : Weight::regular, .colour = bad ? theme.dim : theme.ink});
    const std::string what = bad        ? "cannot be read: Enter says why"
                             : line.cut ? what_of(cuts_.list[*line.cut].sheet, units)
                                        : line.what;
    canvas.text(in.after(title + canvas.px(8)), what, {.size = 13, .colour = bad ? theme.abnormal_text : theme.dim});
  }
  if (lines_.empty())
    canvas.text(list.top(canvas.px(kLine)),
                answered_ ? "No cut is on file yet: type a name and press Enter." : "Looking\xE2\x80\xA6",
                {.size = 13, .colour = theme.dim});
  const Rect foot = inside.below(inside.h - canvas.px(52));
  if (!trouble_.empty())
    canvas.text(foot, trouble_, {.size = 12, .colour = theme.danger_text, .y = AlignY::top, .lines = 3});
  else
    canvas.text(foot,
                "A cut is edited on its card (Tab, units by U) and written down here under the same name. Files: " +
                    (settings_.cut_folders.empty() ? std::string("no folder") : settings_.cut_folders.front().string()),
                {.size = 12, .colour = theme.dim, .y = AlignY::top, .lines = 3});
}

}  // namespace hushmill::dashboard
