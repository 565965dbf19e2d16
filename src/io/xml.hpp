// XML documents that are a root with many members, read member by member: memory holds one of them at a time.
#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace solotaxi::io {

/// One element with everything in it. Names are local: prefixes and namespaces are left out.
struct XmlElement {
  std::string name;
  std::map<std::string, std::string> attributes;
  std::string text;  ///< of its own, blanks at both ends left out
  std::vector<XmlElement> children;
  long line = 0;  ///< of its start tag, from 1

  /// Value of an attribute or "".
  [[nodiscard]] const std::string& attribute(const std::string& key) const;
  /// The first child of this name, or nullptr.
  [[nodiscard]] const XmlElement* child(std::string_view child_name) const;
  /// The first element of this name at any depth below, or nullptr.
  [[nodiscard]] const XmlElement* find(std::string_view element_name) const;
  [[nodiscard]] std::vector<const XmlElement*> all(std::string_view child_name) const;
  /// xsi:nil="true": the element says that there is no value, perhaps why (nilReason).
  [[nodiscard]] bool is_nil() const;
  /// Text of the first child of this name; "" where there is none or it is nil.
  [[nodiscard]] const std::string& value(std::string_view child_name) const;
};

/// Local name of the document's root; nothing where the file is no XML or breaks off before it.
[[nodiscard]] std::optional<std::string> xml_root(const std::filesystem::path& file);

/// Calls `take` with each element two levels below the root (root/member/feature), in order, its member's name first.
/// Returns the root, without children. Throws Error (data) with file and line for XML that is damaged, too deep (200) or
/// not UTF-8, UTF-16, ISO 8859-1 or ASCII; errors of `take` get the file named.
XmlElement read_xml_members(const std::filesystem::path& file,
                            const std::function<void(const std::string& member, XmlElement&& element)>& take);

}  // namespace solotaxi::io
