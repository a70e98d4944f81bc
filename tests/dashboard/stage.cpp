#include "stage.hpp"

#include <imgui.h>

namespace hushmill::test {

using namespace dashboard;

Stage::Stage(const StageSettings& settings) : settings_(settings) {
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.DisplaySize = {settings.width_px, settings.height_px};
  layout_ = lay_out({settings.width_px, settings.height_px, settings.scale, settings.look, settings.rig});
  typography_ =
      std::make_unique<Typography>(*io.Fonts, find_fonts(usual_font_folders()), layout_.unit, layout_.capital_px);
  unsigned char* pixels = nullptr;
  int w = 0, h = 0;
  io.Fonts->GetTexDataAsAlpha8(&pixels, &w, &h);
  view_.look = settings.look;
  view_.light = settings.light;
}

Stage::~Stage() { ImGui::DestroyContext(); }

std::vector<live::Command> Stage::show(const std::vector<live::State>& states, const Input& input) {
  for (const live::State& state : states) {
    session_.add(state);
    history_.add(state.snapshot);
    state_ = state;
  }
  return again(input);
}

void Stage::next(const live::State& state, const Input& input) {
  session_.add(state);
  history_.add(state.snapshot);
  history_.take_dirty();
  state_ = state;
  again(input);
}

std::vector<live::Command> Stage::again(const Input& input) {
  std::vector<live::Command> commands;
  report_ = {};
  ImGui::GetIO().DeltaTime = 0.025F;
  ImGui::NewFrame();
  const Theme theme = view_.light ? light_theme() : dark_theme();
  Canvas canvas(*ImGui::GetBackgroundDrawList(), *typography_, theme, settings_.report ? &report_ : nullptr);
  const Scene scene{state_, session_, history_, 0};
  dashboard::take_input(canvas, layout_, scene, view_, input, commands);
  draw_screen(canvas, layout_, scene, view_, input);
  ImGui::Render();
  return commands;
}

bool Stage::has_all_glyphs(const std::string& words) const {
  ImFont* font = typography_->font(Weight::regular, typography_->sizes_px(Weight::regular, 13).front());
  for (std::size_t at = 0; at < words.size();) {
    const auto lead = static_cast<unsigned char>(words[at]);
    const std::size_t bytes = lead < 0x80 ? 1 : lead < 0xE0 ? 2 : 3;
    unsigned code = bytes == 1 ? lead : bytes == 2 ? lead & 0x1FU : lead & 0x0FU;
    for (std::size_t i = 1; i < bytes; ++i) code = code << 6U | (static_cast<unsigned char>(words[at + i]) & 0x3FU);
    if (!font->FindGlyphNoFallback(static_cast<ImWchar>(code))) return false;
    at += bytes;
  }
  return true;
}

const DrawnText* Stage::find(const std::string& words) const {
  for (const DrawnText& text : report_.texts) {
    if (text.text.find(words) != std::string::npos) return &text;
  }
  return nullptr;
}

}  // namespace hushmill::test
