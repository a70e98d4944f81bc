// The report's pictures, drawn in shades of grey so that any printer can print them. Each fills the canvas it is given.
#pragma once

#include "picture/canvas.hpp"
#include "report/content.hpp"

namespace hushmill::report {

inline constexpr double kTimelineHeight = 92;
inline constexpr double kSpectrumHeight = 150;
inline constexpr double kSpectrogramHeight = 150;

void draw_timeline(picture::Canvas& canvas, const Timeline& timeline);
/// Tooth multiples as ticks beneath, the chatter named.
void draw_spectrum(picture::Canvas& canvas, const EpisodeSound& sound);
void draw_spectrogram(picture::Canvas& canvas, const EpisodeSound& sound);

}  // namespace hushmill::report
