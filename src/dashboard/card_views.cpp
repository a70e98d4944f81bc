#include "dashboard/card_views.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kFeetPerMetre = 1 / 0.3048;  // exact by definition
constexpr double kInchesPerMm = 1 / kMmPerInch;

FieldRow row_for(Field field, Spellings spellings, const ViewState& view) {
  FieldRow row;
  row.field = field;
  row.spellings = std::move(spellings);
  row.editing = view.editing == field;
  if (!row.editing) return row;
  row.typed = view.editor.text();
  row.caret = view.editor.caret();
  row.all_selected = view.editor.all_selected();
  row.wrong = !view.entry_trouble.empty();
  return row;
}

/// The useful stretch of each bar; a typed value may lie beyond it.
Axis bar_axis(Field field) {
  switch (field) {
    case Field::rig_depth:
      return {0, 8, false};
    case Field::rig_width:
      return {0.1, 20, false};
    case Field::rig_feed:
      return {0.01, 0.3, false};
    default:
      return {600, 24000, true};
  }
}

double to_step(double value, double step) { return std::round(value / step) * step; }

}  // namespace

double rig_share(Field field, const rig::RigControls& controls) {
  return std::clamp(bar_axis(field).share(value_of(field, controls)), 0.0, 1.0);
}

rig::RigControls with_rig_share(Field field, double share, const rig::RigControls& controls) {
  rig::RigControls changed = controls;
  const double value = bar_axis(field).value(std::clamp(share, 0.0, 1.0));
  switch (field) {
    case Field::rig_depth:
      changed.depth_mm = to_step(value, 0.05);
      break;
    case Field::rig_width:
      changed.radial_mm = to_step(value, 0.1);
      break;
    case Field::rig_feed:
      changed.feed_per_tooth_mm = to_step(value, 0.005);
      break;
    default:
      changed.spindle_rpm = to_step(value, 10);
      break;
  }
  return changed;
}

CutView prepare_cut(const live::CutCard& card, const ViewState& view) {
  CutView cut;
  cut.units = view.units;
  cut.tool = view.tool;
  for (const Field field : card_fields())
    cut.rows.push_back(row_for(field, value_spellings(field, card, view.units), view));
  if (view.editing) cut.trouble = view.entry_trouble;
  const bool inch = view.units == Units::inch;
  if (const auto speed = surface_speed_m_min(card)) {
    cut.derived.push_back("Surface speed " +
                          (inch ? grouped(*speed * kFeetPerMetre) + " ft/min" : grouped(*speed) + " m/min"));
  }
  if (const auto feed = feed_per_tooth_mm(card)) {
    // In feed per minute the override of the speed alone leaves the feed where it was and so changes the chip.
    const double now = *feed * chip_load_factor(card);
    cut.derived.push_back("Feed per tooth " +
                          (inch ? grouped(now * kInchesPerMm, 4) + " in" : grouped(now, 3) + " mm"));
  }
  return cut;
}

RigView prepare_rig(const rig::RigControls& controls, const ViewState& view) {
  RigView rig;
  rig.units = view.units;
  rig.in_cut = controls.in_cut;
  rig.hearing = view.hearing;
  for (const Field field : rig_fields()) {
    rig.knobs.push_back(
        {row_for(field, value_spellings(field, controls, view.units), view), rig_share(field, controls)});
  }
  return rig;
}

}  // namespace hushmill::dashboard
