// SQLite behind values: statements with values in, tables of values out. The only file pair that calls SQLite.
//
// Throws JournalFailed with SQLite's own words (full disk, damaged file). One thread at a time. Every statement outside
// a Transaction is its own; a commit returns when the write-ahead log is on the disk.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace hushmill::journal {

/// std::monostate is SQL's NULL.
using Value = std::variant<std::monostate, std::int64_t, double, std::string>;

/// None becomes NULL.
inline Value value_of(const std::optional<double>& number) { return number ? Value(*number) : Value(); }
inline Value value_of(const std::optional<std::int64_t>& number) { return number ? Value(*number) : Value(); }
/// An empty text becomes NULL.
inline Value text_or_null(const std::string& text) { return text.empty() ? Value() : Value(text); }

struct Table {
  std::vector<std::string> columns;
  std::vector<std::vector<Value>> rows;
};

class Database {
 public:
  /// Opens the file, which must be there when `create` is false.
  Database(const std::filesystem::path& file, bool create);
  ~Database();
  Database(Database&&) noexcept;
  Database& operator=(Database&&) noexcept;

  /// Any number of statements without values and results.
  void run(const std::string& statements);
  /// One statement; how many rows it changed.
  int change(const std::string& statement, const std::vector<Value>& values = {});
  /// The same for an INSERT; the row's number.
  std::int64_t insert(const std::string& statement, const std::vector<Value>& values);
  Table table(const std::string& statement, const std::vector<Value>& values = {});
  /// First column of the first row, or NULL.
  Value value(const std::string& statement, const std::vector<Value>& values = {});

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

/// All or nothing: what is done until commit() is undone when the object goes without it.
class Transaction {
 public:
  explicit Transaction(Database& database) : database_(database) { database_.run("BEGIN IMMEDIATE"); }
  ~Transaction();
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  void commit();

 private:
  Database& database_;
  bool open_ = true;
};

}  // namespace hushmill::journal
