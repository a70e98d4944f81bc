#include "picture/pages.hpp"

#include <cairo-pdf.h>
#include <pango/pangocairo.h>

#include <algorithm>
#include <sstream>
#include <stdexcept>

#include "picture/canvas_parts.hpp"
#include "text/outside_text.hpp"

namespace hushmill::picture {
namespace {

constexpr double kMargin = 48;
constexpr double kFooter = 30;
constexpr double kBody = 9.5;  // size of plain text
constexpr double kCellGap = 6;
constexpr double kRowGap = 3;
constexpr double kStaysWith = 60;  // what must fit beneath a heading, so that it is not left alone

struct Size {
  double width, height;
};
// ISO 216 (2007) A4, 210 x 297 mm; US letter, 8.5 x 11 in (ANSI/ASME Y14.1, 2020, size A).
constexpr Size kA4{595.28, 841.89};
constexpr Size kLetter{612, 792};

cairo_status_t append_page(void* to, const unsigned char* bytes, unsigned int size) {
  static_cast<std::string*>(to)->append(bytes, bytes + size);
  return CAIRO_STATUS_SUCCESS;
}

struct DropLayout {
  void operator()(PangoLayout* layout) const noexcept { g_object_unref(layout); }
};
using Layout = std::unique_ptr<PangoLayout, DropLayout>;

}  // namespace

struct Pages::Parts {
  Size size{};
  std::string footer, bytes;
  cairo_surface_t* surface = nullptr;
  cairo_t* pen = nullptr;
  double y = kMargin;
  int page = 1;

  Parts() = default;
  Parts(const Parts&) = delete;
  Parts& operator=(const Parts&) = delete;
  ~Parts() {
    cairo_destroy(pen);
    cairo_surface_destroy(surface);
  }

  std::vector<double> column_widths(const std::vector<double>& shares, const std::vector<std::vector<std::string>>& rows) const;
  double width() const { return size.width - 2 * kMargin; }
  double bottom() const { return size.height - kMargin - kFooter; }

  Layout text(const std::string& words, double points, bool bold, double width_points) const {
    Layout layout(pango_cairo_create_layout(pen));
    PangoFontDescription* font = pango_font_description_new();
    pango_font_description_set_family(font, (std::string(kFont) + ", sans").c_str());
    pango_font_description_set_absolute_size(font, points * PANGO_SCALE);
    if (bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
    pango_layout_set_font_description(layout.get(), font);
    pango_font_description_free(font);
    pango_layout_set_width(layout.get(), static_cast<int>(width_points * PANGO_SCALE));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
    const std::string clean = text::clean_lines(words);
    pango_layout_set_text(layout.get(), clean.c_str(), static_cast<int>(clean.size()));
    return layout;
  }
  static double height_of(const Layout& layout) {
    int wide = 0, high = 0;
    pango_layout_get_size(layout.get(), &wide, &high);
    return static_cast<double>(high) / PANGO_SCALE;
  }
  void put(const Layout& layout, double x, double top) const {
    cairo_set_source_rgb(pen, 0, 0, 0);
    cairo_move_to(pen, x, top);
    pango_cairo_show_layout(pen, layout.get());
  }
  void end_page() {
    const double top = size.height - kMargin - 8;
    cairo_set_source_rgb(pen, 0.6, 0.6, 0.6);
    cairo_set_line_width(pen, 0.5);
    cairo_move_to(pen, kMargin, top - 5);
    cairo_line_to(pen, size.width - kMargin, top - 5);
    cairo_stroke(pen);
    put(text(footer, 7.5, false, width() - 60), kMargin, top);
    const Layout number = text("page " + std::to_string(page), 7.5, false, 60);
    pango_layout_set_alignment(number.get(), PANGO_ALIGN_RIGHT);
    put(number, size.width - kMargin - 60, top);
    cairo_show_page(pen);
  }
  void next_page() {
    end_page();
    ++page;
    y = kMargin;
  }
  /// A page break if so much does not fit any more (nothing is broken at the top of a page).
  void need(double height) {
    if (y + height > bottom() && y > kMargin) next_page();
  }
  /// Line by line, so that a long text may go over pages.
  void flow(const Layout& layout) {
    PangoLayoutIter* line = pango_layout_get_iter(layout.get());
    do {
      PangoRectangle box;
      pango_layout_iter_get_line_extents(line, nullptr, &box);
      const double height = static_cast<double>(box.height) / PANGO_SCALE;
      need(height);
      const double base = static_cast<double>(pango_layout_iter_get_baseline(line) - box.y) / PANGO_SCALE;
      cairo_set_source_rgb(pen, 0, 0, 0);
      cairo_move_to(pen, kMargin, y + base);
      pango_cairo_show_layout_line(pen, pango_layout_iter_get_line_readonly(line));
      y += height;
    } while (pango_layout_iter_next_line(line) != 0);
    pango_layout_iter_free(line);
  }
};

Pages::Pages(Paper paper, const std::string& title, const std::string& footer) : parts_(std::make_unique<Parts>()) {
  Parts& p = *parts_;
  p.size = paper == Paper::a4 ? kA4 : kLetter;
  p.footer = footer;
  p.surface = cairo_pdf_surface_create_for_stream(append_page, &p.bytes, p.size.width, p.size.height);
  cairo_pdf_surface_set_metadata(p.surface, CAIRO_PDF_METADATA_TITLE, text::clean_lines(title).c_str());
  cairo_pdf_surface_set_metadata(p.surface, CAIRO_PDF_METADATA_CREATOR, "Hushmill");
  p.pen = cairo_create(p.surface);
}

Pages::~Pages() = default;

double Pages::width() const noexcept { return parts_->width(); }
int Pages::pages() const noexcept { return parts_->page; }

void Pages::heading(const std::string& words, int level) {
  Parts& p = *parts_;
  const double points = level == 1 ? 20 : level == 2 ? 13.5 : 10.5;
  const Layout layout = p.text(words, points, true, p.width());
  const double before = level == 1 ? 0 : level == 2 ? 14 : 8;
  p.need(before + Parts::height_of(layout) + kStaysWith);
  if (p.y > kMargin) p.y += before;
  p.flow(layout);
  p.y += level == 1 ? 4 : 3;
}

void Pages::paragraph(const std::string& words, bool strong) {
  parts_->flow(parts_->text(words, kBody, strong, parts_->width()));
  parts_->y += 3;
}

void Pages::space(double height) { parts_->y += height; }

void Pages::keep_together(double height) { parts_->need(std::min(height, parts_->bottom() - kMargin)); }

// The columns' widths: by their shares, but no word of a cell is broken as long as the others have room to spare.
std::vector<double> Pages::Parts::column_widths(const std::vector<double>& shares, const std::vector<std::vector<std::string>>& rows) const {
  double all = 0;
  for (const double share : shares) all += share;
  std::vector<double> widths(shares.size()), words(shares.size(), 0.0);
  double wanted = 0, spare = 0;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    widths[i] = width() * shares[i] / all;
    std::string longest;
    for (std::size_t row = 0; row < rows.size(); ++row) {
      if (i >= rows[row].size()) continue;
      std::istringstream cell(rows[row][i]);
      for (std::string word; cell >> word;)
        if (word.size() > longest.size()) longest = word;
    }
    int wide = 0, high = 0;
    const Layout layout = text(longest, kBody - 0.5, true, 10 * width());
    pango_layout_get_size(layout.get(), &wide, &high);
    words[i] = std::min(width() / 2, static_cast<double>(wide) / PANGO_SCALE + kCellGap + 1);
    if (words[i] > widths[i])
      wanted += words[i] - widths[i];
    else
      spare += widths[i] - words[i];
  }
  if (!(wanted > 0) || wanted > spare) return widths;
  for (std::size_t i = 0; i < shares.size(); ++i)
    widths[i] = words[i] > widths[i] ? words[i] : widths[i] - wanted * (widths[i] - words[i]) / spare;
  return widths;
}

void Pages::table(const std::vector<double>& shares, const std::vector<std::vector<std::string>>& rows, bool first_is_head) {
  Parts& p = *parts_;
  const std::vector<double> widths = p.column_widths(shares, rows);
  const auto laid_out = [&](const std::vector<std::string>& row, bool head, double& height) {
    std::vector<Layout> cells;
    height = 0;
    for (std::size_t i = 0; i < shares.size(); ++i) {
      const double wide = std::max(10.0, widths[i] - kCellGap);
      cells.push_back(p.text(i < row.size() ? row[i] : std::string(), kBody - 0.5, head, wide));
      height = std::max(height, Parts::height_of(cells.back()));
    }
    return cells;
  };
  const auto put = [&](const std::vector<Layout>& cells, bool head, double height) {
    double x = kMargin;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      p.put(cells[i], x, p.y);
      x += widths[i];
    }
    p.y += height + kRowGap;
    const double shade = head ? 0.2 : 0.82;
    cairo_set_source_rgb(p.pen, shade, shade, shade);
    cairo_set_line_width(p.pen, head ? 0.8 : 0.4);
    cairo_move_to(p.pen, kMargin, p.y - 1.5);
    cairo_line_to(p.pen, kMargin + p.width(), p.y - 1.5);
    cairo_stroke(p.pen);
  };
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const bool head = first_is_head && r == 0;
    double height = 0;
    const auto cells = laid_out(rows[r], head, height);
    const double before_y = p.y;
    p.need(height + kRowGap + (head ? 24 : 0));
    if (first_is_head && r > 0 && p.y < before_y) {  // a new page: its columns need their names again
      double head_height = 0;
      const auto again = laid_out(rows.front(), true, head_height);
      put(again, true, head_height);
    }
    put(cells, head, height);
  }
  p.y += 4;
}

void Pages::figure(double height, const std::function<void(Canvas&)>& draw) {
  Parts& p = *parts_;
  p.need(height + 4);
  // The canvas borrows the page: its own references to surface and pen are given back when it goes.
  auto parts = std::make_unique<Canvas::Parts>();
  parts->width = p.width();
  parts->height = height;
  parts->surface = cairo_surface_reference(p.surface);
  parts->pen = cairo_reference(p.pen);
  cairo_save(p.pen);
  cairo_translate(p.pen, kMargin, p.y);
  {
    Canvas canvas(std::move(parts));
    draw(canvas);
  }
  cairo_restore(p.pen);
  p.y += height + 4;
}

std::string Pages::finish() {
  Parts& p = *parts_;
  p.end_page();
  const cairo_status_t drawn = cairo_status(p.pen);
  cairo_surface_finish(p.surface);
  const cairo_status_t status = drawn != CAIRO_STATUS_SUCCESS ? drawn : cairo_surface_status(p.surface);
  if (status != CAIRO_STATUS_SUCCESS) throw std::runtime_error(std::string("the pages cannot be made: ") + cairo_status_to_string(status));
  return p.bytes;
}

}  // namespace hushmill::picture
