// The greeting: what its keys do, what it asks for, and that it is tidy at every size.
#include <algorithm>

#include "dashboard/greeting.hpp"
#include "made_state.hpp"
#include "stage.hpp"
#include "support/catch.hpp"
#include "tidy.hpp"

namespace {

using namespace hushmill;
using namespace hushmill::dashboard;
using live::SourceKind;

Offer an_offer() {
  Offer offer;
  offer.microphones = {"Desk microphone", "Headset"};
  offer.recordings = {"/shop/recordings/wall.flac", "/shop/recordings/corner.wav"};
  return offer;
}

void type_all(Greeting& greeting, const std::u32string& words) {
  for (const char32_t one : words) type(greeting, one);
}

}  // namespace

TEST_CASE("the greeting asks for speed and flutes and then listens with the chosen microphone") {
  Greeting greeting = make_greeting(an_offer(), {}, false);
  CHECK(greeting.card == SourceKind::microphone);
  press(greeting, "Down");
  press(greeting, "Enter");
  CHECK(greeting.open_wanted);
  CHECK_FALSE(choice_of(greeting));
  CHECK(greeting.trouble.find("Programmed is empty") == 0);
  CHECK(greeting.field == GreetingField::speed);
  type_all(greeting, U"5400");
  CHECK_FALSE(choice_of(greeting));
  CHECK(greeting.trouble.find("Flutes is empty") == 0);
  type_all(greeting, U"99");
  CHECK_FALSE(choice_of(greeting));
  CHECK(greeting.trouble == "Flutes 99 is out of range; 1 to 64 would be right");
  type_all(greeting, U"3");  // all was selected again
  const auto choice = choice_of(greeting);
  REQUIRE(choice);
  CHECK(choice->kind == SourceKind::microphone);
  CHECK(choice->device == "Headset");
  CHECK(choice->card.entered_rpm() == 5400);
  CHECK(choice->card.flutes == 3);
}

TEST_CASE("a recording is chosen from the list, typed, or dropped") {
  Greeting greeting = make_greeting(an_offer(), {}, false);
  press(greeting, "Right");
  REQUIRE(greeting.card == SourceKind::recording);
  press(greeting, "Down");
  CHECK(greeting.path.text() == "/shop/recordings/corner.wav");
  type_all(greeting, U"6000");  // a number can only be the speed
  press(greeting, "Tab");
  type_all(greeting, U"4");
  REQUIRE(choice_of(greeting));
  CHECK(choice_of(greeting)->file == "/shop/recordings/corner.wav");
  drop_file(greeting, "/elsewhere/slot.ogg");
  REQUIRE(choice_of(greeting));
  CHECK(choice_of(greeting)->file == "/elsewhere/slot.ogg");
  press(greeting, "Shift+Tab");
  press(greeting, "Shift+Tab");
  press(greeting, "Shift+Tab");
  REQUIRE(greeting.field == GreetingField::path);
  press(greeting, "Delete");
  CHECK_FALSE(choice_of(greeting));
  CHECK(greeting.trouble == "No file is named; a sound file would be right.");
}

TEST_CASE("the simulator needs nothing, and is offered first where there is no microphone") {
  Greeting greeting = make_greeting({}, {}, false);
  CHECK(greeting.card == SourceKind::rig);
  REQUIRE(choice_of(greeting));
  choose_card(greeting, SourceKind::microphone);
  CHECK_FALSE(choice_of(greeting));
  CHECK(greeting.trouble == "No microphone is there; plug one in.");
  renew(greeting, an_offer());
  greeting.trouble.clear();
  press(greeting, "Down");
  Offer changed = an_offer();
  changed.microphones.insert(changed.microphones.begin(), "Another");
  renew(greeting, changed);
  CHECK(greeting.offer.microphones[greeting.microphone] == "Headset");  // the chosen one stays chosen
}

TEST_CASE("the last choice is filled in, its limits with it, and why it failed is said") {
  Offer offer = an_offer();
  Choice last;
  last.kind = SourceKind::microphone;
  last.device = "Headset";
  last.card.programmed_rpm = 6600;
  last.card.flutes = 2;
  last.card.max_rpm = 9000;
  offer.last = last;
  Greeting greeting = make_greeting(offer, "microphone 'Headset': is gone", false);
  CHECK(greeting.trouble == "microphone 'Headset': is gone");
  const auto choice = choice_of(greeting);
  REQUIRE(choice);
  CHECK(choice->device == "Headset");
  CHECK(choice->card.programmed_rpm == 6600);
  CHECK(choice->card.max_rpm == 9000);
}

TEST_CASE("the greeting is tidy at every size, with nothing, with much, and with a complaint") {
  struct Size {
    float w, h, scale;
  };
  const auto size = GENERATE(Size{1280, 720, 1}, Size{1920, 1080, 1}, Size{3840, 2160, 2}, Size{1280, 720, 2},
                             Size{1280, 720, 3}, Size{1280, 1024, 1}, Size{640, 360, 1});
  Offer much = an_offer();
  for (int i = 0; i < 30; ++i) {
    much.recordings.push_back("/shop/recordings/session " + std::to_string(i) + ".flac");
    much.microphones.push_back("Microphone " + std::to_string(i));
  }
  test::Stage stage({size.w, size.h, size.scale});
  for (const auto& offer : {Offer{}, an_offer(), much}) {
    for (const auto card : {SourceKind::microphone, SourceKind::recording, SourceKind::rig}) {
      stage.view().greeting = make_greeting(offer, {}, false);
      choose_card(*stage.view().greeting, card);
      if (card == SourceKind::microphone) choice_of(*stage.view().greeting);
      stage.again({});
      INFO(size.w << " x " << size.h << " at " << size.scale << ", card " << static_cast<int>(card));
      test::check_tidy(stage, size.w, size.h);
      CHECK(stage.find("What shall Hushmill listen to?"));
      CHECK(stage.find("Advice only"));
      CHECK(stage.find("Lengths in millimetres"));
      if (size.w > 640) test::check_whole(stage);
    }
  }
}

TEST_CASE("in the greeting keys and mouse reach the cards, and one key changes the unit of length") {
  test::Stage stage({});
  stage.view().greeting = make_greeting(an_offer(), {}, true);
  stage.again({});
  Input click;
  click.clicked = click.mouse_down = true;
  const DrawnText* flutes = stage.find("Flutes");
  REQUIRE(flutes);
  click.mouse_x = flutes->box.right() + 40;
  click.mouse_y = flutes->box.middle_y();
  stage.again(click);
  CHECK(stage.view().greeting->field == GreetingField::flutes);
  const DrawnText* start = stage.find("Start");
  REQUIRE(start);
  click.mouse_x = start->box.middle_x();
  click.mouse_y = start->box.middle_y();
  stage.again(click);
  CHECK(stage.view().greeting->card == SourceKind::rig);
  CHECK(stage.view().greeting->open_wanted);
  Input keys;
  keys.keys = {"U"};
  stage.again(keys);
  CHECK(stage.view().units == Units::inch);
  CHECK(stage.find("Lengths in inches"));
  keys.keys = {"Esc"};
  stage.again(keys);
  CHECK_FALSE(stage.view().greeting);
  keys.keys = {"G"};
  stage.again(keys);
  CHECK(stage.view().greeting_wanted);
}
