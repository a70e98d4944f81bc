#include "journal/database.hpp"

#include <sqlite3.h>

#include "journal/errors.hpp"

namespace hushmill::journal {
namespace {

constexpr int kWaitForOthersMs = 5000;  // a second window may be writing

struct Close {
  void operator()(sqlite3* handle) const noexcept { sqlite3_close_v2(handle); }
};
struct Finalize {
  void operator()(sqlite3_stmt* statement) const noexcept { sqlite3_finalize(statement); }
};
using Statement = std::unique_ptr<sqlite3_stmt, Finalize>;

void bind(sqlite3_stmt* statement, int at, const Value& value) {
  if (const auto* whole = std::get_if<std::int64_t>(&value)) {
    sqlite3_bind_int64(statement, at, *whole);
  } else if (const auto* number = std::get_if<double>(&value)) {
    sqlite3_bind_double(statement, at, *number);
  } else if (const auto* text = std::get_if<std::string>(&value)) {
    // The text outlives the statement's steps; a null destructor is SQLite's way to say so.
    sqlite3_bind_text(statement, at, text->c_str(), static_cast<int>(text->size()), nullptr);
  } else {
    sqlite3_bind_null(statement, at);
  }
}

Value column(sqlite3_stmt* statement, int at) {
  switch (sqlite3_column_type(statement, at)) {
    case SQLITE_INTEGER: return static_cast<std::int64_t>(sqlite3_column_int64(statement, at));
    case SQLITE_FLOAT: return sqlite3_column_double(statement, at);
    case SQLITE_NULL: return {};
    default: {
      const auto* bytes = static_cast<const char*>(sqlite3_column_blob(statement, at));
      const auto size = static_cast<std::size_t>(sqlite3_column_bytes(statement, at));
      return bytes == nullptr ? std::string() : std::string(bytes, size);
    }
  }
}

}  // namespace

struct Database::Parts {
  std::string file;
  std::unique_ptr<sqlite3, Close> handle;

  [[noreturn]] void fail() const {
    const int code = handle ? sqlite3_errcode(handle.get()) & 0xFF : SQLITE_NOMEM;
    if (code == SQLITE_CORRUPT || code == SQLITE_NOTADB) throw JournalFailed("journal '" + file + "' is damaged; a copy of it from before would be right");
    throw JournalFailed("journal '" + file + "': " + (handle ? sqlite3_errmsg(handle.get()) : "no memory") +
                        "; a folder with space and write permission would be right");
  }
  Statement prepared(const std::string& text, const std::vector<Value>& values) const {
    sqlite3_stmt* raw = nullptr;
    if (sqlite3_prepare_v2(handle.get(), text.c_str(), -1, &raw, nullptr) != SQLITE_OK) fail();
    Statement statement(raw);
    for (std::size_t i = 0; i < values.size(); ++i) bind(raw, static_cast<int>(i) + 1, values[i]);
    return statement;
  }
  /// False after the last row.
  bool step(sqlite3_stmt* statement) const {
    const int result = sqlite3_step(statement);
    if (result != SQLITE_ROW && result != SQLITE_DONE) fail();
    return result == SQLITE_ROW;
  }
};

Database::Database(const std::filesystem::path& file, bool create) : parts_(std::make_unique<Parts>()) {
  parts_->file = file.string();
  sqlite3* raw = nullptr;
  const int flags = SQLITE_OPEN_READWRITE | (create ? SQLITE_OPEN_CREATE : 0);
  const int result = sqlite3_open_v2(parts_->file.c_str(), &raw, flags, nullptr);
  parts_->handle.reset(raw);
  if (result != SQLITE_OK) parts_->fail();
  sqlite3_busy_timeout(raw, kWaitForOthersMs);
  // A file may come from anybody: what its schema says must neither run functions with effects nor write into the schema itself.
  sqlite3_db_config(raw, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
  sqlite3_db_config(raw, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
}

Database::~Database() = default;
Database::Database(Database&&) noexcept = default;
Database& Database::operator=(Database&&) noexcept = default;

void Database::run(const std::string& statements) {
  if (sqlite3_exec(parts_->handle.get(), statements.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK) parts_->fail();
}

int Database::change(const std::string& statement, const std::vector<Value>& values) {
  const Statement prepared = parts_->prepared(statement, values);
  while (parts_->step(prepared.get())) {
  }
  return sqlite3_changes(parts_->handle.get());
}

std::int64_t Database::insert(const std::string& statement, const std::vector<Value>& values) {
  change(statement, values);
  return sqlite3_last_insert_rowid(parts_->handle.get());
}

Table Database::table(const std::string& statement, const std::vector<Value>& values) {
  const Statement prepared = parts_->prepared(statement, values);
  Table table;
  const int columns = sqlite3_column_count(prepared.get());
  for (int i = 0; i < columns; ++i) table.columns.emplace_back(sqlite3_column_name(prepared.get(), i));
  while (parts_->step(prepared.get())) {
    auto& row = table.rows.emplace_back();
    for (int i = 0; i < columns; ++i) row.push_back(column(prepared.get(), i));
  }
  return table;
}

Value Database::value(const std::string& statement, const std::vector<Value>& values) {
  const Statement prepared = parts_->prepared(statement, values);
  return parts_->step(prepared.get()) ? column(prepared.get(), 0) : Value();
}

Transaction::~Transaction() {
  if (!open_) return;
  try {
    database_.run("ROLLBACK");
  } catch (const JournalFailed&) {
    // A full disk rolls back by itself.
  }
}

void Transaction::commit() {
  database_.run("COMMIT");
  open_ = false;
}

}  // namespace hushmill::journal
