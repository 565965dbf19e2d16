#include "solotaxi/base/finding.hpp"

namespace solotaxi {

const char* to_string(Severity severity) {
  switch (severity) {
    case Severity::note: return "note";
    case Severity::caution: return "caution";
    case Severity::serious: return "serious";
  }
  return "";
}

}  // namespace solotaxi
