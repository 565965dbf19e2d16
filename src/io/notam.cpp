#include "io/notam.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

/// The notice an event was published by.
struct Notice {
  std::string id, text, schedule;
  long correction = -1;
};

std::string one_line(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool blank = static_cast<unsigned char>(c) <= 0x20U;
    if (!blank)
      out += c;
    else if (!out.empty() && out.back() != ' ')
      out += ' ';
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

long whole(const XmlElement& slice, const char* name) {
  long value = 0;
  for (const char c : slice.value(name)) {
    if (c < '0' || c > '9' || value > 100000) return 0;
    value = value * 10 + (c - '0');
  }
  return value;
}

Notice notice_of(const XmlElement& event) {
  Notice notice;
  notice.correction = whole(event, "correctionNumber");
  for (const XmlElement* notification : event.all("notification"))
    for (const XmlElement& notam : notification->children) {
      if (notam.name != "NOTAM" || notification->is_nil()) continue;
      const std::string& year = notam.value("year");
      notice.id = notam.value("series") + notam.value("number") + (year.size() == 4 ? "/" + year.substr(2) : "");
      notice.text = one_line(notam.value("text"));
      notice.schedule = one_line(notam.value("schedule"));
      return notice;
    }
  return notice;
}

std::string list(const std::vector<std::string>& parts, const char* between = "; ") {
  std::vector<std::string> once;
  for (const std::string& part : parts)
    if (!part.empty() && std::find(once.begin(), once.end(), part) == once.end()) once.push_back(part);
  return fmt::format("{}", fmt::join(once, between));
}

std::string period(const Validity& v) {
  return (v.begin ? to_string(*v.begin) : std::string("always")) + " to " + (v.end ? to_string(*v.end) : "an open end");
}

}  // namespace

Notams::Notams(const std::vector<std::filesystem::path>& files, Instant at) : at_(at) {
  for (const auto& file : files) {
    const Where where{file.string(), std::nullopt, ""};
    if (!std::filesystem::exists(file)) throw data_error("there is no such NOTAM file", where, "check the name");
    if (!std::filesystem::is_directory(file)) {
      read_xml_members(file, [](auto&, auto&&) {});  // so that damage is told before "no AIXM"
    }
    if (!is_aixm(file))
      throw data_error("is no digital NOTAM", where, "an AIXM 5.1 message with an Event and temporary changes is expected");
    AixmMessage message = read_aixm(file);
    std::map<std::string, Notice> notices;
    for (const AixmFeature& feature : message.features) {
      if (feature.kind != "Event") continue;
      for (const XmlElement& slice : feature.slices)
        if (Notice notice = notice_of(slice); notice.correction >= notices[feature.uuid].correction)
          notices[feature.uuid] = std::move(notice);
    }
    // Of one event's change of a feature the latest correction counts; what is not certainly a correction is kept beside it.
    struct Numbered {
      std::string event;
      long sequence = 0, correction = 0;
      NotamChange change;
    };
    std::vector<Numbered> latest;
    for (AixmFeature& feature : message.features) {
      if (feature.kind == "Event") continue;
      for (XmlElement& slice : feature.slices) {
        const std::string interpretation = slice.value("interpretation");
        NotamChange change;
        change.usable = interpretation == "TEMPDELTA" || interpretation == "BASELINE";
        change.is_new = interpretation == "BASELINE";
        const XmlElement* event = slice.find("theEvent");
        if (change.is_new && event == nullptr) continue;  // static data beside the change
        const std::string uuid = event == nullptr ? "" : link_of(*event);
        if (const auto found = notices.find(uuid); found != notices.end()) {
          change.notam = found->second.id;
          change.text = found->second.text;
          change.schedule = found->second.schedule;
        }
        if (change.notam.empty()) change.notam = uuid.empty() ? feature.id() : "event " + uuid;
        change.validity = validity_of(slice, feature.file);
        const bool contradicts =
            change.validity.begin && change.validity.end && *change.validity.end < *change.validity.begin;
        change.in_force = contradicts || change.validity.holds(at);
        change.feature = {feature.kind, feature.uuid, feature.file, slice.line, {}};
        Numbered one{uuid, whole(slice, "sequenceNumber"), whole(slice, "correctionNumber"), std::move(change)};
        one.change.feature.slices.push_back(std::move(slice));
        one.change.contradicts = contradicts;
        const auto before = std::find_if(latest.begin(), latest.end(), [&](const Numbered& o) {
          return o.change.feature.uuid == one.change.feature.uuid && o.change.is_new == one.change.is_new &&
                 o.change.usable == one.change.usable && o.event == one.event && o.sequence == one.sequence &&
                 one.sequence > 0 && o.correction != one.correction;
        });
        if (before == latest.end())
          latest.push_back(std::move(one));
        else if (one.correction > before->correction)
          *before = std::move(one);
      }
    }
    if (latest.empty())
      throw data_error("holds no temporary change of a feature", where,
                       "a digital NOTAM has time slices with the interpretation TEMPDELTA");
    for (Numbered& one : latest) changes_.push_back(std::move(one.change));
  }
}

std::vector<const NotamChange*> Notams::of(const std::string& uuid) const {
  std::vector<const NotamChange*> found;
  for (const NotamChange& c : changes_)
    if (c.in_force && c.usable && !c.is_new && c.feature.uuid == uuid) found.push_back(&c);
  return found;
}

std::vector<const NotamChange*> Notams::new_features(const std::string& kind) const {
  std::vector<const NotamChange*> found;
  for (const NotamChange& c : changes_)
    if (c.in_force && c.usable && c.is_new && c.feature.kind == kind) found.push_back(&c);
  return found;
}

void Notams::applied(const NotamChange& change, const std::string& effect, const Availability& availability) {
  Outcome& outcome = outcome_[&change];
  (availability.limits()             ? outcome.effects
   : availability.in_part            ? outcome.in_part
   : availability.reasons.empty() && !availability.idle ? outcome.unreadable
                                     : outcome.unchanged)
      .push_back(effect);
  const auto add = [](std::vector<std::string>& to, const std::vector<std::string>& from) {
    to.insert(to.end(), from.begin(), from.end());
  };
  add(outcome.reasons, availability.reasons);
  add(outcome.remarks, availability.remarks);
  add(outcome.unknown, availability.unknown);
}

Findings Notams::findings() const {
  Findings findings;
  std::vector<std::string> order;
  std::map<std::string, std::vector<const NotamChange*>> by_notam;
  for (const NotamChange& c : changes_) {
    const std::string key = c.notam + '\n' + c.feature.file;
    if (by_notam.find(key) == by_notam.end()) order.push_back(key);
    by_notam[key].push_back(&c);
  }
  for (const std::string& key : order) {
    const auto& changes = by_notam[key];
    const NotamChange& first = *changes.front();
    Outcome all;
    std::vector<std::string> missed;
    bool any_in_force = false;
    for (const NotamChange* c : changes) {
      if (!c->in_force) continue;
      any_in_force = true;
      if (c->contradicts) all.unknown.emplace_back("when it holds, as its end lies before its beginning");
      const auto found = outcome_.find(c);
      if (found == outcome_.end()) {
        missed.push_back(c->feature.id());
        continue;
      }
      const Outcome& o = found->second;
      for (auto& [to, from] : {std::pair{&all.effects, &o.effects},
                               {&all.unchanged, &o.unchanged},
                               {&all.in_part, &o.in_part},
                               {&all.unreadable, &o.unreadable},
                               {&all.remarks, &o.remarks},
                               {&all.unknown, &o.unknown},
                               {&all.reasons, &o.reasons}})
        to->insert(to->end(), from->begin(), from->end());
    }
    // A part that no element of pavement tells is nowhere shut.
    if (!all.effects.empty())
      all.effects.insert(all.effects.end(), all.in_part.begin(), all.in_part.end());
    else
      for (const std::string& effect : all.in_part) all.unreadable.push_back(effect + ", and no part is told");
    const std::string quoted = first.text.empty() ? "" : " \"" + first.text + "\"";
    Finding finding;
    const std::string name = "NOTAM " + first.notam;
    finding.where.id = name;
    std::string text;
    if (!any_in_force) {
      finding.code = "notam-not-in-force";
      finding.severity = Severity::note;
      text = fmt::format("{} is not in force at {}: it holds from {}.", name, to_string(at_), period(first.validity));
    } else if (!all.effects.empty()) {
      finding.code = "notam-applied";
      finding.severity = Severity::serious;
      const std::string reasons = list(all.reasons);
      text = fmt::format("{} holds: {}{}.", name, list(all.effects), reasons == "closed" ? "" : " (" + reasons + ")");
    } else if (!all.unchanged.empty()) {
      finding.code = all.reasons.empty() ? "notam-not-in-force" : "notam-without-effect";
      finding.severity = Severity::note;
      text = all.reasons.empty() ? fmt::format("{} is not in force at {} by its schedule{}.", name, to_string(at_),
                                               first.schedule.empty() ? "" : " (" + first.schedule + ")")
                                 : fmt::format("{} holds and changes nothing for a jet aeroplane: {} ({}).", name,
                                               list(all.unchanged), list(all.reasons));
    }
    if (!all.unreadable.empty()) {
      if (text.empty()) {
        finding.code = "notam-not-applied";
        text = name + " holds and is NOT applied:";
      }
      text += fmt::format(" What it says cannot be applied: {}; see to it yourself (--close).", list(all.unreadable));
      finding.severity = Severity::serious;
    }
    if (!missed.empty()) {
      if (text.empty()) {
        finding.code = "notam-not-applied";
        finding.severity = Severity::serious;
        text = name + " holds and is NOT applied:";
      }
      text += fmt::format(" The map has no use for, does not hold, or draws no line over {}; see to it yourself (--close).",
                          list(missed, ", "));
      finding.severity = Severity::serious;
    }
    if (!all.unknown.empty())
      text += fmt::format(" Not known of this flight and taken the cautious way: {}.", list(all.unknown, ", "));
    if (!all.remarks.empty()) text += fmt::format(" It asks for {}.", list(all.remarks, ", "));
    finding.text = text + quoted;
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace solotaxi::io
