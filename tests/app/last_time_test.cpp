// What comes back next time: written, read, and never believed blindly. And what the greeting's choice opens.
#include "app/last_time.hpp"

#include <fstream>

#include "app/offer.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;

namespace {

app::LastTime an_evening() {
  app::LastTime last;
  last.liking = {1600, 900, true, false, true, dashboard::Look::teach, dashboard::Units::inch};
  last.choice.emplace();
  last.choice->kind = live::SourceKind::microphone;
  last.choice->device = "Desk \"microphone\" #2";
  last.choice->card.programmed_rpm = 6800;
  last.choice->card.override_percent = 90;
  last.choice->card.flutes = 3;
  last.choice->card.diameter_mm = 12.7;
  last.choice->card.milling = advise::Milling::conventional;
  last.choice->card.max_rpm = 12000;
  last.choice->card.taps[0] = {1205.5, 0.021, false};
  last.choice->card.taps[1] = {640, 0.008, true};
  last.choice->card.tap_count = 2;
  return last;
}

}  // namespace

TEST_CASE("set-up and layout come back as they were left") {
  const test::TemporaryFolder folder;
  const auto file = folder / "deeper" / "last_time.toml";
  CHECK_FALSE(app::read_last_time(file));
  const app::LastTime left = an_evening();
  REQUIRE(app::write_last_time(file, left));
  const auto found = app::read_last_time(file);
  REQUIRE(found);
  CHECK(found->liking == left.liking);
  REQUIRE(found->choice);
  CHECK(found->choice->kind == left.choice->kind);
  CHECK(found->choice->device == left.choice->device);
  CHECK(found->choice->card.entered_rpm() == 6120);
  CHECK(found->choice->card.flutes == 3);
  CHECK(found->choice->card.diameter_mm == 12.7);
  CHECK(found->choice->card.milling == advise::Milling::conventional);
  CHECK(found->choice->card.max_rpm == 12000);
  REQUIRE(found->choice->card.tap_count == 2);
  CHECK(found->choice->card.taps[0].natural_hz == 1205.5);
  CHECK(found->choice->card.taps[0].damping_ratio == 0.021);
  CHECK_FALSE(found->choice->card.taps[0].of_part);
  CHECK(found->choice->card.taps[1].of_part);
  CHECK_FALSE(found->choice->card.depth_mm);
}

TEST_CASE("a damaged file is a first run, and silly figures are left out") {
  const test::TemporaryFolder folder;
  const auto file = folder / "last_time.toml";
  std::ofstream(file) << "[sound\nsource=";
  CHECK_FALSE(app::read_last_time(file));
  std::ofstream(file) << "[screen]\nwidth = -5\nlook = \"sideways\"\n[sound]\nsource = \"rig\"\n[cut]\nflutes = 9000\nprogrammed_rpm = nan\ndepth_mm = 1e9\n";
  const auto found = app::read_last_time(file);
  REQUIRE(found);
  CHECK(found->liking.width == 1280);
  CHECK(found->liking.look == dashboard::Look::bench);
  REQUIRE(found->choice);
  CHECK(found->choice->card.flutes == live::CutCard{}.flutes);
  CHECK(found->choice->card.programmed_rpm == live::CutCard{}.programmed_rpm);
  CHECK_FALSE(found->choice->card.depth_mm);
}

TEST_CASE("a choice of the greeting becomes the options that say the same") {
  const auto texts = app::door_texts_for(*an_evening().choice, {});
  CHECK(texts.source == "microphone");
  CHECK(texts.device == "Desk \"microphone\" #2");
  const auto cut = app::cut_options(texts.cut);
  CHECK_THAT(cut.card().entered_rpm(), test::WithinRel(6120.0, 1e-12));
  CHECK(cut.card().programmed_rpm == 6800);
  CHECK(cut.card().diameter_mm == 12.7);
  dashboard::Choice rig;
  CHECK(app::door_texts_for(rig, {}).source == "rig");
  CHECK_FALSE(app::door_texts_for(rig, {}).cut.rpm);  // the scene knows its speed
}

TEST_CASE("taps typed as mere frequencies stand on the card, beside those of a set-up file, with no damping of their own") {
  const test::TemporaryFolder folder;
  const auto file = folder / "taps.toml";
  std::ofstream(file) << "[[taps]]\non = \"part\"\nnatural_hz = 640\ndamping_ratio = 0.02\n";
  auto texts = app::door_texts_for(*an_evening().choice, {}).cut;
  texts.tap_tool = {"1180"};
  texts.taps = file.string();
  const auto card = app::cut_options(texts).card();
  REQUIRE(card.tap_count == 2);
  CHECK(card.taps[0].natural_hz == 640);
  CHECK(card.taps[0].damping_ratio == 0.02);
  CHECK(card.taps[0].of_part);
  CHECK(card.taps[1].natural_hz == 1180);
  CHECK(card.taps[1].damping_ratio == 0);
  CHECK_FALSE(card.taps[1].of_part);
}

TEST_CASE("sound files are offered newest first, others not at all") {
  const test::TemporaryFolder folder;
  for (const char* name : {"a.wav", "b.FLAC", "notes.txt", "c.ogg"}) std::ofstream(folder / name) << "x";
  std::filesystem::last_write_time(folder / "b.FLAC", std::filesystem::file_time_type::clock::now() + std::chrono::hours(1));
  const std::vector<std::filesystem::path> folders{folder / ".", folder / "missing"};
  const auto files = app::sound_files(folders);
  REQUIRE(files.size() == 3);
  CHECK(files.front().find("b.FLAC") != std::string::npos);
}
