// The one main of all test programs: Catch2 takes far longer to compile than any test.
#if __has_include(<catch2/catch_session.hpp>)
#include <catch2/catch_session.hpp>
#else
#define CATCH_CONFIG_RUNNER
#include <catch2/catch.hpp>
#endif

int main(int argc, char* argv[]) { return Catch::Session().run(argc, argv); }
