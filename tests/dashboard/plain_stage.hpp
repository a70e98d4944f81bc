// A bare stage for the screens beside the dashboard: an ImGui context, real fonts, and a report of what was drawn.
#pragma once

#include <imgui.h>

#include <functional>
#include <memory>

#include "dashboard/canvas.hpp"
#include "support/catch.hpp"

namespace hushmill::test {

class PlainStage {
 public:
  PlainStage(float width_px, float height_px, float unit_px) : width_(width_px), height_(height_px) {
    ImGui::CreateContext();
    ImGui::GetIO().IniFilename = nullptr;
    ImGui::GetIO().DisplaySize = {width_px, height_px};
    typography_ = std::make_unique<dashboard::Typography>(
        *ImGui::GetIO().Fonts, dashboard::find_fonts(dashboard::usual_font_folders()), unit_px, height_px / 10);
    unsigned char* pixels = nullptr;
    int w = 0, h = 0;
    ImGui::GetIO().Fonts->GetTexDataAsAlpha8(&pixels, &w, &h);
  }
  ~PlainStage() { ImGui::DestroyContext(); }
  PlainStage(const PlainStage&) = delete;
  PlainStage& operator=(const PlainStage&) = delete;

  const dashboard::Report& show(bool light, const std::function<void(dashboard::Canvas&)>& draw) {
    report_ = {};
    ImGui::GetIO().DeltaTime = 0.025F;
    ImGui::NewFrame();
    const dashboard::Theme theme = light ? dashboard::light_theme() : dashboard::dark_theme();
    dashboard::Canvas canvas(*ImGui::GetBackgroundDrawList(), *typography_, theme, &report_);
    draw(canvas);
    ImGui::Render();
    return report_;
  }

  /// No text is cut off, none leaves the window.
  void check_tidy() const {
    for (const auto& text : report_.texts) {
      INFO(text.panel << ": " << text.text);
      CHECK_FALSE(text.shortened);
      CHECK(dashboard::inside(text.box, {0, 0, width_, height_}, 1));
    }
  }
  bool says(const std::string& words) const {
    for (const auto& text : report_.texts)
      if (text.text.find(words) != std::string::npos) return true;
    return false;
  }

 private:
  float width_, height_;
  std::unique_ptr<dashboard::Typography> typography_;
  dashboard::Report report_;
};

}  // namespace hushmill::test
