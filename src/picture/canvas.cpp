#include "picture/canvas.hpp"

#include <cairo-svg.h>

#include <cmath>
#include <stdexcept>

#include "picture/canvas_parts.hpp"
#include "text/file_ending.hpp"
#include "text/outside_text.hpp"

namespace hushmill::picture {
namespace {

constexpr double kTurn = 6.283185307179586;

cairo_status_t append(void* to, const unsigned char* bytes, unsigned int size) {
  static_cast<std::string*>(to)->append(bytes, bytes + size);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

Canvas::Parts::~Parts() {
  cairo_destroy(pen);
  cairo_surface_destroy(surface);
}

void Canvas::Parts::take(Colour colour) const {
  cairo_set_source_rgba(pen, colour.red, colour.green, colour.blue, colour.opacity);
}

void Canvas::Parts::trace(const std::vector<Spot>& spots) const {
  cairo_new_path(pen);
  for (const Spot& spot : spots) cairo_line_to(pen, spot.x, spot.y);
}

void Canvas::Parts::take_font(double size) const {
  cairo_select_font_face(pen, kFont, CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(pen, size);
}

void check_ending(const std::filesystem::path& file) {
  const std::string ending = text::file_ending(file);
  if (ending == ".png" || ending == ".svg") return;
  throw std::invalid_argument("the picture " + file.string() + " ends in '" + ending +
                              "'; .png or .svg would be right");
}

Canvas::Canvas(const std::filesystem::path& file, double width, double height, double scale)
    : parts_(std::make_unique<Parts>()) {
  check_ending(file);
  parts_->file = file;
  parts_->png = text::file_ending(file) == ".png";
  parts_->width = width;
  parts_->height = height;
  parts_->surface = parts_->png
                        ? cairo_image_surface_create(CAIRO_FORMAT_RGB24, static_cast<int>(std::lround(width * scale)),
                                                     static_cast<int>(std::lround(height * scale)))
                        : cairo_svg_surface_create(file.string().c_str(), width, height);
  if (cairo_surface_status(parts_->surface) != CAIRO_STATUS_SUCCESS) {
    throw std::runtime_error("cannot write " + file.string() + ": " +
                             cairo_status_to_string(cairo_surface_status(parts_->surface)));
  }
  parts_->pen = cairo_create(parts_->surface);
  if (parts_->png) cairo_scale(parts_->pen, scale, scale);
  cairo_set_line_join(parts_->pen, CAIRO_LINE_JOIN_ROUND);
}

Canvas::Canvas(InMemory, double width, double height) : parts_(std::make_unique<Parts>()) {
  parts_->width = width;
  parts_->height = height;
  parts_->surface = cairo_svg_surface_create_for_stream(append, &parts_->svg, width, height);
  parts_->pen = cairo_create(parts_->surface);
  cairo_set_line_join(parts_->pen, CAIRO_LINE_JOIN_ROUND);
}

Canvas::Canvas(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}

Canvas::Canvas(double width, double height) : parts_(std::make_unique<Parts>()) {
  parts_->width = width;
  parts_->height = height;
  parts_->surface = cairo_image_surface_create(CAIRO_FORMAT_A1, 1, 1);
  parts_->pen = cairo_create(parts_->surface);
}

Canvas::~Canvas() = default;

double Canvas::width() const noexcept { return parts_->width; }
double Canvas::height() const noexcept { return parts_->height; }

void Canvas::fill_rectangle(Spot corner, double width, double height, Colour colour) {
  parts_->take(colour);
  cairo_rectangle(parts_->pen, corner.x, corner.y, width, height);
  cairo_fill(parts_->pen);
}

void Canvas::line(const std::vector<Spot>& spots, double thickness, Colour colour, bool dashed) {
  if (spots.size() < 2) return;
  const double dashes[] = {4 * thickness, 2.5 * thickness};
  cairo_set_dash(parts_->pen, dashes, dashed ? 2 : 0, 0);
  cairo_set_line_width(parts_->pen, thickness);
  parts_->take(colour);
  parts_->trace(spots);
  cairo_stroke(parts_->pen);
  cairo_set_dash(parts_->pen, nullptr, 0, 0);
}

void Canvas::fill(const std::vector<Spot>& outline, Colour colour) {
  parts_->take(colour);
  parts_->trace(outline);
  cairo_close_path(parts_->pen);
  cairo_fill(parts_->pen);
}

void Canvas::disc(Spot centre, double radius, Colour colour) {
  parts_->take(colour);
  cairo_new_path(parts_->pen);
  cairo_arc(parts_->pen, centre.x, centre.y, radius, 0, kTurn);
  cairo_fill(parts_->pen);
}

void Canvas::cross(Spot centre, double radius, double thickness, Colour colour) {
  line({{centre.x - radius, centre.y - radius}, {centre.x + radius, centre.y + radius}}, thickness, colour);
  line({{centre.x - radius, centre.y + radius}, {centre.x + radius, centre.y - radius}}, thickness, colour);
}

void Canvas::shades(Spot corner, double width, double height, int columns, int rows,
                    const std::vector<unsigned char>& darkness) {
  cairo_surface_t* image = cairo_image_surface_create(CAIRO_FORMAT_RGB24, columns, rows);
  cairo_surface_flush(image);
  unsigned char* bytes = cairo_image_surface_get_data(image);
  const int stride = cairo_image_surface_get_stride(image);
  for (int y = 0; bytes != nullptr && y < rows; ++y) {
    for (int x = 0; x < columns; ++x) {
      const auto at = static_cast<std::size_t>(y) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(x);
      const auto light = static_cast<unsigned char>(255 - (at < darkness.size() ? darkness[at] : 0));
      for (int part = 0; part < 4; ++part) bytes[y * stride + 4 * x + part] = light;
    }
  }
  cairo_surface_mark_dirty(image);
  cairo_save(parts_->pen);
  cairo_translate(parts_->pen, corner.x, corner.y);
  cairo_scale(parts_->pen, width / columns, height / rows);
  cairo_set_source_surface(parts_->pen, image, 0, 0);
  cairo_pattern_set_filter(cairo_get_source(parts_->pen), CAIRO_FILTER_NEAREST);
  cairo_paint(parts_->pen);
  cairo_restore(parts_->pen);
  cairo_surface_destroy(image);
}

double Canvas::text_width(const std::string& words, double size) {
  parts_->take_font(size);
  cairo_text_extents_t extents;
  cairo_text_extents(parts_->pen, text::clean_lines(words).c_str(), &extents);
  return extents.x_advance;
}

void Canvas::text(Spot base, const std::string& words, double size, Colour colour, Align align, bool upright) {
  const double width = text_width(words, size);
  const double back = align == Align::left ? 0 : align == Align::centre ? 0.5 * width : width;
  parts_->take(colour);
  cairo_save(parts_->pen);
  cairo_translate(parts_->pen, base.x, base.y);
  if (upright) cairo_rotate(parts_->pen, -0.25 * kTurn);
  cairo_move_to(parts_->pen, -back, 0);
  cairo_show_text(parts_->pen, text::clean_lines(words).c_str());
  cairo_restore(parts_->pen);
}

const std::string& Canvas::svg() const noexcept { return parts_->svg; }

void Canvas::finish() {
  cairo_status_t status = cairo_status(parts_->pen);
  if (parts_->png && status == CAIRO_STATUS_SUCCESS) {
    status = cairo_surface_write_to_png(parts_->surface, parts_->file.string().c_str());
  }
  cairo_surface_finish(parts_->surface);
  if (status == CAIRO_STATUS_SUCCESS) status = cairo_surface_status(parts_->surface);
  if (status != CAIRO_STATUS_SUCCESS) {
    throw std::runtime_error("cannot write " + parts_->file.string() + ": " + cairo_status_to_string(status));
  }
}

}  // namespace hushmill::picture
