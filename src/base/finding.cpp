#include "solotaxi/base/finding.hpp"

#include <utility>

namespace solotaxi {

Finding finding_about(std::string code, Severity severity, std::string id, std::string text) {
  return {std::move(code), severity, {std::move(id)}, std::move(text)};
}

const char* to_string(Severity severity) {
  switch (severity) {
    case Severity::note: return "note";
    case Severity::caution: return "caution";
    case Severity::serious: return "serious";
  }
  return "";
}

}  // namespace solotaxi
