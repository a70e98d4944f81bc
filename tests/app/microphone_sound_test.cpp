// The guided check on a real sound server: the tone that Hushmill plays into the sink comes back through its monitor.
#include <chrono>
#include <string>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"
#include "support/child_process.hpp"
#include "support/sound_server.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using test::Json;

TEST_CASE("hushmill microphone hears the tone that it plays itself") {
  const test::SoundServer server;
  const test::TemporaryFolder folder;
  test::ChildProcess check({{HUSHMILL_PROGRAM, "microphone", "--device", test::SoundServer::kMicrophone, "--json"}, server.environment(), folder / "check.json"});
  check.wait(std::chrono::seconds(90));
  const auto bytes = test::file_bytes(folder / "check.json");
  const auto document = Json::parse(bytes.begin(), bytes.end());
  INFO(document.dump(2));
  REQUIRE(document.at("tone").is_object());
  CHECK(std::abs(document.at("tone").at("hz").get<double>() - 1000) < 2);
  // A null sink is digitally silent between sounds, and that is what must be said of it.
  for (const Json& fault : document.at("faults")) CHECK(fault.at("code") != "rate_mismatch");
}
