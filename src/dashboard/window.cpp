#include "dashboard/window.hpp"

#include <GLFW/glfw3.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <algorithm>
#include <array>
#include <utility>

namespace hushmill::dashboard {
namespace {

constexpr GLint kClampToEdge = 0x812F;  // OpenGL 1.2; the header of some systems stops at 1.1

struct KeyName {
  int code;
  const char* name;
};

constexpr std::array kKeyNames{
    KeyName{GLFW_KEY_UP, "Up"},         KeyName{GLFW_KEY_DOWN, "Down"},      KeyName{GLFW_KEY_LEFT, "Left"},
    KeyName{GLFW_KEY_RIGHT, "Right"},   KeyName{GLFW_KEY_HOME, "Home"},      KeyName{GLFW_KEY_END, "End"},
    KeyName{GLFW_KEY_ENTER, "Enter"},   KeyName{GLFW_KEY_KP_ENTER, "Enter"}, KeyName{GLFW_KEY_ESCAPE, "Esc"},
    KeyName{GLFW_KEY_TAB, "Tab"},       KeyName{GLFW_KEY_SPACE, "Space"},    KeyName{GLFW_KEY_BACKSPACE, "Backspace"},
    KeyName{GLFW_KEY_DELETE, "Delete"}, KeyName{GLFW_KEY_PAUSE, "Pause"},    KeyName{GLFW_KEY_F1, "F1"},
    KeyName{GLFW_KEY_F11, "F11"},
    KeyName{GLFW_KEY_PAGE_UP, "PageUp"}, KeyName{GLFW_KEY_PAGE_DOWN, "PageDown"}};

/// Keys that are not characters by their own name; characters come by what the layout makes of them.
std::string name_of(int code) {
  for (const KeyName& one : kKeyNames) {
    if (one.code == code) return one.name;
  }
  return {};
}

}  // namespace

struct Window::Parts {
  GLFWwindow* window = nullptr;
  ImGuiContext* imgui = nullptr;
  bool renderer = false;
  std::unique_ptr<Typography> typography;
  GLuint history = 0;
  Input pending;
  int windowed_x = 0, windowed_y = 0, windowed_w = 0, windowed_h = 0;

  ~Parts() {
    if (window) glfwMakeContextCurrent(window);
    if (history != 0) glDeleteTextures(1, &history);
    if (renderer) ImGui_ImplOpenGL3_Shutdown();
    typography.reset();
    if (imgui) ImGui::DestroyContext(imgui);
    if (window) glfwDestroyWindow(window);
    glfwTerminate();
  }

  static Parts& of(GLFWwindow* window) { return *static_cast<Parts*>(glfwGetWindowUserPointer(window)); }

  static void on_key(GLFWwindow* window, int code, int, int action, int modifiers) {
    if (action == GLFW_RELEASE) return;
    Parts& parts = of(window);
    if ((modifiers & GLFW_MOD_CONTROL) != 0) {
      if (code == GLFW_KEY_Q) parts.pending.keys.emplace_back("Ctrl+Q");
      return;
    }
    std::string name = name_of(code);
    if (name == "Tab" && (modifiers & GLFW_MOD_SHIFT) != 0) name = "Shift+Tab";
    if (!name.empty()) parts.pending.keys.push_back(std::move(name));
  }
  static void on_character(GLFWwindow* window, unsigned int character) {
    Parts& parts = of(window);
    parts.pending.typed.push_back(static_cast<char32_t>(character));
    // Letters act as keys by what is written on them, whatever the layout. A space has its name already.
    if (character > 0x20 && character < 0x7F) {
      const bool lower = character >= 'a' && character <= 'z';
      parts.pending.keys.emplace_back(1, static_cast<char>(lower ? character - 'a' + 'A' : character));
    }
  }
  static void on_button(GLFWwindow* window, int button, int action, int) {
    if (button == GLFW_MOUSE_BUTTON_LEFT && action == GLFW_PRESS) of(window).pending.clicked = true;
  }
  static void on_drop(GLFWwindow* window, int count, const char** files) {
    for (int i = 0; i < count; ++i) of(window).pending.dropped.emplace_back(files[i]);
  }
  static void on_wheel(GLFWwindow* window, double, double up) { of(window).pending.wheel += static_cast<float>(up); }
};

Window::Window(const WindowSettings& settings) : parts_(std::make_unique<Parts>()) {
  if (glfwInit() != GLFW_TRUE) {
    const char* reason = nullptr;
    glfwGetError(&reason);
    throw NoDisplay(std::string("No display can be opened: ") + (reason ? reason : "no reason given"));
  }
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 2);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  // Whose window it is: the desktop entry of this name lends it icon and title.
  glfwWindowHintString(GLFW_X11_CLASS_NAME, "hushmill");
  glfwWindowHintString(GLFW_X11_INSTANCE_NAME, "hushmill");
#ifdef GLFW_WAYLAND_APP_ID  // from GLFW 3.4 on
  glfwWindowHintString(GLFW_WAYLAND_APP_ID, "hushmill");
#endif
  parts_->window = glfwCreateWindow(std::max(320, settings.width), std::max(200, settings.height),
                                    settings.title.c_str(), nullptr, nullptr);
  if (!parts_->window) {
    const char* reason = nullptr;
    glfwGetError(&reason);
    throw NoDisplay(std::string("No window with OpenGL 3.2 can be opened: ") + (reason ? reason : "no reason given"));
  }
  glfwMakeContextCurrent(parts_->window);
  glfwSwapInterval(1);
  glfwSetWindowUserPointer(parts_->window, parts_.get());
  glfwSetKeyCallback(parts_->window, &Parts::on_key);
  glfwSetCharCallback(parts_->window, &Parts::on_character);
  glfwSetMouseButtonCallback(parts_->window, &Parts::on_button);
  glfwSetScrollCallback(parts_->window, &Parts::on_wheel);
  glfwSetDropCallback(parts_->window, &Parts::on_drop);

  parts_->imgui = ImGui::CreateContext();
  ImGui::GetIO().IniFilename = nullptr;  // the layout is ours; nothing is written behind the person's back
  parts_->renderer = ImGui_ImplOpenGL3_Init("#version 150");
  if (!parts_->renderer) throw NoDisplay("OpenGL 3.2 cannot draw here.");

  glGenTextures(1, &parts_->history);
  glBindTexture(GL_TEXTURE_2D, parts_->history);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, kClampToEdge);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, kClampToEdge);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGB8, History::kColumns, History::kRows, 0, GL_RGB, GL_UNSIGNED_BYTE, nullptr);
}

Window::~Window() = default;

bool Window::close_wanted() const { return glfwWindowShouldClose(parts_->window) == GLFW_TRUE; }

Input Window::take_input(double most_s) {
  if (most_s > 0) {
    glfwWaitEventsTimeout(most_s);
  } else {
    glfwPollEvents();
  }
  Input input = std::exchange(parts_->pending, Input{});
  double x = 0, y = 0;
  int window_w = 0, window_h = 0;
  glfwGetCursorPos(parts_->window, &x, &y);
  glfwGetWindowSize(parts_->window, &window_w, &window_h);
  // Windows are measured in screen coordinates, drawing in pixels; on some screens they differ.
  input.mouse_x = static_cast<float>(x * width_px() / std::max(1, window_w));
  input.mouse_y = static_cast<float>(y * height_px() / std::max(1, window_h));
  input.mouse_down = glfwGetMouseButton(parts_->window, GLFW_MOUSE_BUTTON_LEFT) == GLFW_PRESS;
  return input;
}

int Window::width_px() const {
  int w = 0, h = 0;
  glfwGetFramebufferSize(parts_->window, &w, &h);
  return std::max(1, w);
}

int Window::height_px() const {
  int w = 0, h = 0;
  glfwGetFramebufferSize(parts_->window, &w, &h);
  return std::max(1, h);
}

WindowSize Window::size() const {
  if (glfwGetWindowMonitor(parts_->window) && parts_->windowed_w > 0) return {parts_->windowed_w, parts_->windowed_h};
  WindowSize size;
  glfwGetWindowSize(parts_->window, &size.width, &size.height);
  return size;
}

float Window::scale() const {
  float x = 1, y = 1;
  glfwGetWindowContentScale(parts_->window, &x, &y);
  return std::max(1.0F, y);
}

void Window::set_full_screen(bool full) {
  GLFWmonitor* monitor = glfwGetPrimaryMonitor();
  const GLFWvidmode* mode = monitor ? glfwGetVideoMode(monitor) : nullptr;
  if (!mode) return;
  if (full) {
    glfwGetWindowPos(parts_->window, &parts_->windowed_x, &parts_->windowed_y);
    glfwGetWindowSize(parts_->window, &parts_->windowed_w, &parts_->windowed_h);
    glfwSetWindowMonitor(parts_->window, monitor, 0, 0, mode->width, mode->height, mode->refreshRate);
  } else if (parts_->windowed_w > 0) {
    glfwSetWindowMonitor(parts_->window, nullptr, parts_->windowed_x, parts_->windowed_y, parts_->windowed_w,
                         parts_->windowed_h, 0);
  }
}

const Typography& Window::set_fonts(const FontFiles& files, float unit_px, float capital_px) {
  if (parts_->typography) ImGui_ImplOpenGL3_DestroyFontsTexture();
  parts_->typography = std::make_unique<Typography>(*ImGui::GetIO().Fonts, files, unit_px, capital_px);
  ImGui_ImplOpenGL3_CreateFontsTexture();
  return *parts_->typography;
}

void Window::paint_history(const History& history, std::span<const int> columns, const Theme& theme) {
  if (columns.empty()) return;
  std::array<Rgb, 256> colours;
  for (std::size_t i = 0; i < colours.size(); ++i) colours[i] = theme.heat(history.shade(static_cast<std::uint8_t>(i)));
  std::array<std::uint8_t, static_cast<std::size_t>(History::kRows) * 3> strip{};
  glBindTexture(GL_TEXTURE_2D, parts_->history);
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  for (const int column : columns) {
    const auto levels = history.column(column);
    for (std::size_t row = 0; row < levels.size(); ++row) {
      const Rgb colour = colours[levels[row]];
      strip[3 * row] = colour.r;
      strip[3 * row + 1] = colour.g;
      strip[3 * row + 2] = colour.b;
    }
    glTexSubImage2D(GL_TEXTURE_2D, 0, column, 0, 1, History::kRows, GL_RGB, GL_UNSIGNED_BYTE, strip.data());
  }
}

std::uintptr_t Window::history_texture() const { return parts_->history; }

void Window::draw(const Theme& theme, double dt_s, const std::function<void(ImDrawList&)>& draw, Pixels* keep) {
  ImGuiIO& io = ImGui::GetIO();
  io.DisplaySize = {static_cast<float>(width_px()), static_cast<float>(height_px())};
  io.DeltaTime = static_cast<float>(std::max(1e-4, dt_s));
  ImGui_ImplOpenGL3_NewFrame();
  ImGui::NewFrame();
  draw(*ImGui::GetBackgroundDrawList());
  ImGui::Render();
  glViewport(0, 0, width_px(), height_px());
  glClearColor(static_cast<float>(theme.ground.r) / 255, static_cast<float>(theme.ground.g) / 255,
               static_cast<float>(theme.ground.b) / 255, 1);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  if (keep) *keep = read_pixels();  // before the swap: afterwards the picture is the system's
  glfwSwapBuffers(parts_->window);
}

Pixels Window::read_pixels() const {
  Pixels pixels{width_px(), height_px(), {}};
  const auto row_bytes = static_cast<std::size_t>(pixels.width) * 4;
  std::vector<std::uint8_t> upside_down(row_bytes * static_cast<std::size_t>(pixels.height));
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadPixels(0, 0, pixels.width, pixels.height, GL_RGBA, GL_UNSIGNED_BYTE, upside_down.data());
  pixels.rgba.resize(upside_down.size());
  for (int row = 0; row < pixels.height; ++row) {
    const auto from = static_cast<std::size_t>(pixels.height - 1 - row) * row_bytes;
    std::copy_n(upside_down.begin() + static_cast<std::ptrdiff_t>(from), row_bytes,
                pixels.rgba.begin() + static_cast<std::ptrdiff_t>(static_cast<std::size_t>(row) * row_bytes));
  }
  for (std::size_t alpha = 3; alpha < pixels.rgba.size(); alpha += 4) pixels.rgba[alpha] = 255;
  return pixels;
}

}  // namespace hushmill::dashboard
