// What a canvas is made of. Only canvas.cpp and pages.cpp may include this file.
#pragma once

#include <cairo.h>

#include <filesystem>
#include <string>
#include <vector>

#include "picture/canvas.hpp"

namespace hushmill::picture {

/// The face of the screen; another sans serif is taken where it is missing.
inline constexpr const char* kFont = "B612";

struct Canvas::Parts {
  std::filesystem::path file{};
  std::string svg{};
  bool png = false;
  double width = 0, height = 0;
  cairo_surface_t* surface = nullptr;
  cairo_t* pen = nullptr;

  Parts() = default;
  Parts(const Parts&) = delete;
  Parts& operator=(const Parts&) = delete;
  ~Parts();
  void take(Colour colour) const;
  void trace(const std::vector<Spot>& spots) const;
  void take_font(double size) const;
};

}  // namespace hushmill::picture
