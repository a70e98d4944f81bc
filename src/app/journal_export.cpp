#include "app/journal_export.hpp"

#include <charconv>

namespace hushmill::app {

namespace {
std::string quoted(std::string text) {
  constexpr std::string_view kFormulaBegins = "=+-@\t\r";
  if (!text.empty() && kFormulaBegins.find(text.front()) != std::string_view::npos) text.insert(0, 1, '\'');
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string in_quotes = "\"";
  for (const char c : text) in_quotes += c == '"' ? std::string("\"\"") : std::string(1, c);
  return in_quotes + "\"";
}

// The shortest text that gives the very same number back, with a point whatever the locale.
std::string number_text(double value) {
  char buffer[40];
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value).ptr;
  return {buffer, end};
}

std::string field(const journal::Value& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) return std::to_string(*whole);
  if (const auto* number = std::get_if<double>(&value)) return number_text(*number);
  if (const auto* text = std::get_if<std::string>(&value)) return quoted(*text);
  return {};
}

Json json_of(const journal::Value& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) return *whole;
  if (const auto* number = std::get_if<double>(&value)) return *number;
  if (const auto* text = std::get_if<std::string>(&value)) return *text;
  return nullptr;
}
}  // namespace

std::string to_csv(const journal::Table& table) {
  std::string text;
  for (std::size_t i = 0; i < table.columns.size(); ++i) text += (i == 0 ? "" : ",") + table.columns[i];
  text += "\r\n";
  for (const auto& row : table.rows) {
    for (std::size_t i = 0; i < row.size(); ++i) text += (i == 0 ? "" : ",") + field(row[i]);
    text += "\r\n";
  }
  return text;
}

Json to_json(const journal::Table& table) {
  Json list = Json::array();
  for (const auto& row : table.rows) {
    Json object = Json::object();
    for (std::size_t i = 0; i < row.size(); ++i) object[table.columns[i]] = json_of(row[i]);
    list.push_back(std::move(object));
  }
  return list;
}

}  // namespace hushmill::app
