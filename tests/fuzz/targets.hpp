// The doors at which made-up input is thrown. Each takes any bytes whatever and returns; what must not happen (a crash, a promise
// of a header that does not hold) ends the process. Its corpus lies in a folder of the same name.
#pragma once

#include <cstdint>
#include <span>

namespace hushmill::fuzz {

using Input = std::span<const std::uint8_t>;

void command_line(Input input);    ///< words, one a line, through all commands' tables; nothing is run
void journal_file(Input input);    ///< a whole database file, read to the last table
void journal_values(Input input);  ///< rows of any kind in a true journal, as text, report, replay and trials
void last_time(Input input);       ///< how the program was left, or a cut that the dashboard offers
void listener(Input input);        ///< sound, speeds and flutes for the engine
void long_sound(Input input);      ///< the same for some seconds, with trials
void option_words(Input input);    ///< what stands behind options, in fields and in the journal's texts
void recording(Input input);       ///< a sound file
void setup_files(Input input);     ///< a set-up with tool, hold, machine, material and response files
void short_text(Input input);      ///< one text for each reader of one
void sheets(Input input);          ///< a cut or kept taps in one file, read, written and read again
void tap_test(Input input);        ///< sound for the tap test

}  // namespace hushmill::fuzz
