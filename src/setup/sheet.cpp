#include "setup/sheet.hpp"

#include <toml++/toml.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <sstream>
#include <utility>

#include "setup/setup.hpp"

namespace hushmill::setup {
namespace {

constexpr std::size_t kMostShown = 60;

std::string shown(const toml::node& node) {
  std::ostringstream line;
  if (node.is_string()) {
    line << '\'' << node.value<std::string>()->substr(0, kMostShown) << '\'';
  } else if (node.is_table()) {
    line << "a table";
  } else if (node.is_array()) {
    line << "a list";
  } else if (const auto number = node.value<double>()) {
    line << *number;
  } else if (const auto truth = node.value<bool>()) {
    line << (*truth ? "true" : "false");
  } else {
    line << "of another kind";
  }
  return line.str();
}

std::string range(double least, double most) {
  std::ostringstream line;
  line << "a number from " << least << " to " << most;
  return line.str();
}

// "diameter_cm" and "diameter_mm": all but the unit at the end is the same.
bool same_stem(const std::string& name, const std::string& field) {
  static const std::array<std::string_view, 11> kUnits{"_mm", "_mm_min", "_m_min", "_in", "_in_min", "_hz", "_n_m", "_rpm", "_percent", "_deg", "_um"};
  for (const auto unit : kUnits) {
    if (!field.ends_with(unit)) continue;
    const std::string stem = field.substr(0, field.size() - unit.size() + 1);
    // What follows the stem must be a unit's length at most, or another field of the same beginning would be taken for it.
    if (stem.size() > 3 && name != field && name.starts_with(stem) && name.size() - stem.size() <= 6) return true;
  }
  return false;
}

// "spindel_rpm" and "spindle_rpm": one letter wrong, missing or too many, or two neighbours swapped, between the same first and
// last letters (max_x and max_y are two fields).
bool slip_of_the_pen(const std::string& name, const std::string& field) {
  if (name.size() < 4 || field.size() < 4 || name.front() != field.front() || name.back() != field.back()) return false;
  const auto [here, there] = std::mismatch(name.begin(), name.end(), field.begin(), field.end());
  const std::string a(here, name.end()), b(there, field.end());
  if (a.empty() || b.empty()) return false;
  const bool swapped = a.size() > 1 && b.size() > 1 && a[0] == b[1] && a[1] == b[0] && a.substr(2) == b.substr(2);
  return swapped || a.substr(1) == b.substr(1) || a.substr(1) == b || a == b.substr(1);
}

toml::table read(const std::filesystem::path& file) {
  std::error_code error;
  if (std::filesystem::is_directory(file, error)) throw BadSetup(file.string() + ": is a folder; a set-up file in it would be right");
  if (!std::filesystem::is_regular_file(file, error))
    throw BadSetup(file.string() + ": no such file; a set-up file would be right");
  // Opened here: a name outside ASCII reaches the library's own opening changed on some systems.
  std::ifstream in(file, std::ios::binary);
  if (!in) throw BadSetup(file.string() + ": cannot be read; a set-up file with permission would be right");
  try {
    return toml::parse(in, file.string());
  } catch (const toml::parse_error& bad) {
    std::ostringstream line;
    line << file.string() << ": line " << bad.source().begin.line << ": " << bad.description() << "; a set-up file in TOML, as those in config, would be right";
    throw BadSetup(line.str());
  }
}

}  // namespace

// A copy of a table forgets where it stood in the file: parts point into the whole instead.
struct Sheet::Table {
  std::shared_ptr<const toml::table> whole;
  const toml::table* fields = nullptr;
  std::vector<std::string> asked;
};

Sheet::Sheet(const std::filesystem::path& file) : file_(file), table_(std::make_unique<Table>()) {
  table_->whole = std::make_shared<const toml::table>(read(file));
  table_->fields = table_->whole.get();
}
Sheet::Sheet(std::filesystem::path file, std::string prefix, std::unique_ptr<Table> table)
    : file_(std::move(file)), prefix_(std::move(prefix)), table_(std::move(table)) {}
Sheet::~Sheet() = default;
Sheet::Sheet(Sheet&&) noexcept = default;

void Sheet::refuse(const std::string& key, const std::string& value, const std::string& right) const {
  // A field that is missing is most often there in another unit.
  if (!has(key))
    for (const auto& [name, node] : *table_->fields)
      if (same_stem(std::string(name.str()), key) &&
          std::find(table_->asked.begin(), table_->asked.end(), name.str()) == table_->asked.end())
        refuse_unit(std::string(name.str()), key);
  if (!has(key))
    for (const auto& [name, node] : *table_->fields)
      if (const std::string there(name.str()); slip_of_the_pen(there, key) && std::find(table_->asked.begin(), table_->asked.end(), there) == table_->asked.end())
        throw BadSetup(file_.string() + ": " + line_of(there) + prefix_ + there + ", " + shown(node) + ", is not a field here; " + key + ", which is missing, would be right");
  throw BadSetup(file_.string() + ": " + line_of(key) + prefix_ + key + " is " + value + "; " + right + " would be right");
}

void Sheet::refuse_unit(const std::string& name, const std::string& right) const {
  throw BadSetup(file_.string() + ": " + line_of(name) + prefix_ + name + " is " + shown(*table_->fields->get(name)) +
                 ", in a unit that is not known here; " + right + " would be right");
}

void Sheet::refuse_saying(const std::string& key, const std::string& words) const {
  throw BadSetup(file_.string() + ": " + line_of(key) + prefix_ + words);
}

// Where the field stands, or its list, or the table in which it is missing.
std::string Sheet::line_of(const std::string& key) const {
  const toml::node* node = table_->fields->get(key.substr(0, key.find('[')));
  if (node == nullptr && !prefix_.empty()) node = table_->fields;
  if (node == nullptr || !node->source().begin) return {};
  return "line " + std::to_string(node->source().begin.line) + ": ";
}

bool Sheet::has(const std::string& key) const { return table_->fields->contains(key); }

std::optional<double> Sheet::maybe_number(const std::string& key, double least, double most) {
  table_->asked.push_back(key);
  const toml::node* node = table_->fields->get(key);
  if (node == nullptr) return std::nullopt;
  const auto value = node->is_number() ? node->value<double>() : std::nullopt;
  if (!value || !(*value >= least && *value <= most)) refuse(key, shown(*node), range(least, most));
  return value;
}

double Sheet::number(const std::string& key, double least, double most) {
  const auto value = maybe_number(key, least, most);
  if (!value) refuse(key, "not there", range(least, most));
  return *value;
}

int Sheet::whole_number(const std::string& key, int least, int most) {
  const double value = number(key, least, most);
  if (value != std::floor(value)) {
    std::ostringstream line;
    line << value;
    refuse(key, line.str(), "a whole number");
  }
  return static_cast<int>(value);
}

std::optional<std::string> Sheet::maybe_text(const std::string& key) {
  table_->asked.push_back(key);
  const toml::node* node = table_->fields->get(key);
  if (node == nullptr) return std::nullopt;
  auto value = node->value<std::string>();
  if (!node->is_string() || value->empty()) refuse(key, shown(*node), "a text in quotes");
  return value;
}

std::string Sheet::text(const std::string& key) {
  const auto value = maybe_text(key);
  if (!value) refuse(key, "not there", "a text in quotes");
  return *value;
}

std::string Sheet::choice(const std::string& key, const std::vector<std::string>& words) {
  const auto value = maybe_text(key);
  if (!value || std::find(words.begin(), words.end(), *value) == words.end()) {
    std::string right;
    for (const std::string& word : words) right += (right.empty() ? "" : " or ") + word;
    refuse(key, value ? '\'' + *value + '\'' : "not there", right);
  }
  return *value;
}

std::vector<double> Sheet::numbers(const std::string& key, double least, double most) {
  table_->asked.push_back(key);
  const toml::node* node = table_->fields->get(key);
  if (node == nullptr) return {};
  const toml::array* list = node->as_array();
  if (list == nullptr) refuse(key, shown(*node), "a list of numbers");
  std::vector<double> values;
  for (const toml::node& entry : *list) {
    const auto value = entry.is_number() ? entry.value<double>() : std::nullopt;
    if (!value || !(*value >= least && *value <= most)) {
      refuse(key + '[' + std::to_string(values.size()) + ']', shown(entry), range(least, most));
    }
    values.push_back(*value);
  }
  return values;
}

std::optional<Sheet> Sheet::part(const std::string& key) {
  table_->asked.push_back(key);
  const toml::node* node = table_->fields->get(key);
  if (node == nullptr) return std::nullopt;
  const toml::table* inner = node->as_table();
  if (inner == nullptr) refuse(key, shown(*node), "a table");
  auto table = std::make_unique<Table>(Table{table_->whole, inner, {}});
  return Sheet(file_, prefix_ + key + '.', std::move(table));
}

std::vector<Sheet> Sheet::parts(const std::string& key) {
  table_->asked.push_back(key);
  const toml::node* node = table_->fields->get(key);
  if (node == nullptr) return {};
  const toml::array* list = node->as_array();
  if (list == nullptr) refuse(key, shown(*node), "tables headed [[" + prefix_ + key + "]]");
  std::vector<Sheet> sheets;
  for (const toml::node& entry : *list) {
    const std::string name = key + '[' + std::to_string(sheets.size()) + ']';
    const toml::table* inner = entry.as_table();
    if (inner == nullptr) refuse(name, shown(entry), "a table");
    auto table = std::make_unique<Table>(Table{table_->whole, inner, {}});
    sheets.push_back(Sheet(file_, prefix_ + name + '.', std::move(table)));
  }
  return sheets;
}

std::filesystem::path Sheet::file_beside(const std::string& key) {
  const std::string name = text(key);
  std::filesystem::path beside = (file_.parent_path() / std::u8string(name.begin(), name.end())).lexically_normal();
  std::error_code error;  // a name may be too long for any file
  if (!std::filesystem::is_regular_file(beside, error))
    refuse(key, '\'' + name.substr(0, kMostShown) + '\'', "a file, its path relative to this one,");
  return beside;
}

void Sheet::refuse_the_rest() const {
  for (const auto& [key, node] : *table_->fields) {
    const std::string name(key.str());
    if (std::find(table_->asked.begin(), table_->asked.end(), name) == table_->asked.end()) {
      std::string known;
      for (const std::string& field : table_->asked) known += (known.empty() ? "" : ", ") + field;
      // The right stem with another ending is most often another unit.
      std::string unit;
      for (const std::string& field : table_->asked) {
        if (same_stem(name, field)) unit += (unit.empty() ? "" : " or ") + field;
      }
      if (!unit.empty()) refuse_unit(name, unit);
      throw BadSetup(file_.string() + ": " + line_of(name) + prefix_ + name + ", " + shown(node) + ", is not a field here; one of " + known +
                     " would be right");
    }
  }
}

}  // namespace hushmill::setup
