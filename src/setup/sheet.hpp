// One set-up file, read field by field. Knows which fields were asked for, so that what is left over can be refused.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace hushmill::setup {

class Sheet {
 public:
  /// Throws BadSetup if the file cannot be read or is not TOML.
  explicit Sheet(const std::filesystem::path& file);
  ~Sheet();
  Sheet(Sheet&&) noexcept;

  bool has(const std::string& key) const;
  /// Throws BadSetup unless the field is there, is a number and lies within the limits.
  double number(const std::string& key, double least, double most);
  std::optional<double> maybe_number(const std::string& key, double least, double most);
  int whole_number(const std::string& key, int least, int most);
  std::string text(const std::string& key);
  std::optional<std::string> maybe_text(const std::string& key);
  /// One of these words.
  std::string choice(const std::string& key, const std::vector<std::string>& words);
  /// Empty if the field is not there.
  std::vector<double> numbers(const std::string& key, double least, double most);
  /// A table within the table; empty list or none if it is not there.
  std::optional<Sheet> part(const std::string& key);
  std::vector<Sheet> parts(const std::string& key);
  /// A file named by a field, relative to this file.
  std::filesystem::path file_beside(const std::string& key);

  /// Throws BadSetup naming the first field that nobody asked for, here.
  void refuse_the_rest() const;
  [[noreturn]] void refuse(const std::string& key, const std::string& value, const std::string& right) const;
  /// A complaint in other words, with the line of that field.
  [[noreturn]] void refuse_saying(const std::string& key, const std::string& words) const;
  const std::filesystem::path& file() const noexcept { return file_; }

 private:
  [[noreturn]] void refuse_unit(const std::string& name, const std::string& right) const;
  std::string line_of(const std::string& key) const;

  struct Table;
  Sheet(std::filesystem::path file, std::string prefix, std::unique_ptr<Table> table);

  std::filesystem::path file_;
  std::string prefix_;
  std::unique_ptr<Table> table_;
};

}  // namespace hushmill::setup
