// What keys do while the past is shown, and the cards that are drawn over it. The same keys as elsewhere mean something
// else here (Space plays instead of turning the simulated tool in), so they have a table and a card of their own.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>

#include "dashboard/canvas.hpp"
#include "dashboard/layout.hpp"
#include "dashboard/sessions_card.hpp"

namespace hushmill::dashboard {

enum class ReplayAction {
  play,
  back,
  forward,
  fine_back,
  fine_forward,
  beginning,
  end,
  episode_before,
  episode_after,
  slower,
  faster,
  loop,
  aloud,
  keys,
  leave
};

struct ReplayKeyLine {
  ReplayAction action;
  const char* key;
  const char* other;  ///< a second key for the same, or empty
  const char* words;
  bool recording_only;
};

std::span<const ReplayKeyLine> replay_key_lines() noexcept;
std::optional<ReplayAction> replay_action_for(const std::string& key);

/// Opens the list of what was kept; looks back at the session that is on.
inline constexpr const char* kListKey = "O";
inline constexpr const char* kLookBackKey = "B";

void draw_replay_keys(Canvas& canvas, const Rect& window, bool recording);

/// `past`: a recording or a look back is shown beneath.
void draw_sessions(Canvas& canvas, const Rect& window, const SessionsCard& card, bool opening, bool past);
/// Where such cards may stand: over the instruments, never over the verdict.
Rect sessions_window(const Layout& layout) noexcept;
/// The line of the list at that place.
std::optional<std::size_t> sessions_line_at(const Canvas& canvas, const SessionsCard& card, const Rect& window, float x,
                                            float y);

}  // namespace hushmill::dashboard
