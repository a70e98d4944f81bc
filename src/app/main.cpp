#include "app/commands.hpp"

int main(int argc, char* argv[]) { return hushmill::app::run_hushmill(argc, argv); }
