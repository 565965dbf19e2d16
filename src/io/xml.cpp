#include "xml.hpp"

#include <expat.h>

#include <algorithm>
#include <array>
#include <exception>
#include <fstream>
#include <memory>

#include "solotaxi/base/error.hpp"

namespace solotaxi::io {
namespace {

constexpr char kSeparator = '|';
constexpr std::size_t kDeepest = 200;
constexpr std::size_t kMemberDepth = 2;  // root and member are open where a feature begins

std::string local(const char* name) {
  const std::string_view whole(name);
  const auto at = whole.rfind(kSeparator);
  return std::string(at == std::string_view::npos ? whole : whole.substr(at + 1));
}

void trim(std::string& text) {
  constexpr const char* kBlanks = " \t\r\n";
  const auto last = text.find_last_not_of(kBlanks);
  text.erase(last == std::string::npos ? 0 : last + 1);
  text.erase(0, std::min(text.size(), text.find_first_not_of(kBlanks)));
}

/// One pass of expat over a file.
class XmlReading {
 public:
  using Take = std::function<void(const std::string&, XmlElement&&)>;

  /// Without `take`: only as far as the root's start tag.
  XmlReading(const std::filesystem::path& file, const Take* take)
      : file_(file), take_(take), parser_(XML_ParserCreateNS(nullptr, kSeparator), &XML_ParserFree) {
    if (!parser_) throw std::bad_alloc();
    XML_SetUserData(parser_.get(), this);
    XML_SetElementHandler(parser_.get(), &XmlReading::on_start, &XmlReading::on_end);
    XML_SetCharacterDataHandler(parser_.get(), &XmlReading::on_text);
  }

  /// Throws Error (data) where the document is damaged.
  XmlElement run() {
    std::ifstream in(file_, std::ios::binary);
    if (!in) throw data_error("the file cannot be read", Where{file_.string(), std::nullopt, ""});
    std::array<char, 1 << 16> buffer{};
    bool last = false;
    while (!last && !done_) {
      in.read(buffer.data(), buffer.size());
      last = in.eof();
      if (!last && !in) throw data_error("the file cannot be read to its end", Where{file_.string(), std::nullopt, ""});
      const auto status = XML_Parse(parser_.get(), buffer.data(), static_cast<int>(in.gcount()), last ? 1 : 0);
      if (failure_) std::rethrow_exception(failure_);
      if (status == XML_STATUS_ERROR && !done_)
        throw data_error(std::string("the XML is damaged: ") + XML_ErrorString(XML_GetErrorCode(parser_.get())), here(),
                         "fetch or export the file again");
    }
    return std::move(root_);
  }

  [[nodiscard]] bool has_root() const { return done_; }

 private:
  [[nodiscard]] long line() const { return static_cast<long>(XML_GetCurrentLineNumber(parser_.get())); }
  [[nodiscard]] Where here() const { return {file_.string(), line(), ""}; }

  void stop() {
    done_ = true;
    XML_StopParser(parser_.get(), XML_FALSE);
  }

  /// Exceptions must not pass through expat.
  template <typename F>
  void guarded(F&& f) {
    if (failure_ || done_) return;  // the end of an empty element is told even after stopping
    try {
      f();
    } catch (...) {
      failure_ = std::current_exception();
      XML_StopParser(parser_.get(), XML_FALSE);
    }
  }

  static void XMLCALL on_start(void* self, const XML_Char* name, const XML_Char** attributes) {
    static_cast<XmlReading*>(self)->guarded([&] { static_cast<XmlReading*>(self)->start(name, attributes); });
  }
  static void XMLCALL on_end(void* self, const XML_Char* /*name*/) {
    static_cast<XmlReading*>(self)->guarded([&] { static_cast<XmlReading*>(self)->end(); });
  }
  static void XMLCALL on_text(void* self, const XML_Char* text, int length) {
    auto& reading = *static_cast<XmlReading*>(self);
    reading.guarded([&] {
      if (!reading.open_.empty()) reading.open_.back().text.append(text, static_cast<std::size_t>(length));
    });
  }

  void start(const XML_Char* name, const XML_Char** attributes) {
    XmlElement element;
    element.name = local(name);
    element.line = line();
    for (std::size_t i = 0; attributes[i] != nullptr; i += 2)
      element.attributes.emplace(local(attributes[i]), attributes[i + 1]);
    if (open_.size() >= kDeepest) throw data_error("the XML is nested too deeply", here(), "it is no aeronautical data");
    if (take_ == nullptr) {
      root_ = std::move(element);
      stop();
      return;
    }
    open_.push_back(std::move(element));
  }

  void end() {
    XmlElement element = std::move(open_.back());
    open_.pop_back();
    trim(element.text);
    if (open_.size() == kMemberDepth) {
      try {
        (*take_)(open_.back().name, std::move(element));
      } catch (const Error& error) {
        throw error.in_file(file_.string());
      }
    } else if (open_.size() > kMemberDepth) {
      open_.back().children.push_back(std::move(element));
    } else if (open_.empty()) {
      root_ = std::move(element);
    }
  }

  std::filesystem::path file_;
  const Take* take_;
  std::unique_ptr<XML_ParserStruct, decltype(&XML_ParserFree)> parser_;
  std::vector<XmlElement> open_;
  XmlElement root_;
  bool done_ = false;
  std::exception_ptr failure_;
};

}  // namespace

const std::string& XmlElement::attribute(const std::string& key) const {
  static const std::string none;
  const auto found = attributes.find(key);
  return found == attributes.end() ? none : found->second;
}

const XmlElement* XmlElement::child(std::string_view child_name) const {
  const auto found = std::find_if(children.begin(), children.end(), [&](const auto& c) { return c.name == child_name; });
  return found == children.end() ? nullptr : &*found;
}

const XmlElement* XmlElement::find(std::string_view element_name) const {
  for (const XmlElement& c : children) {
    if (c.name == element_name) return &c;
    if (const XmlElement* below = c.find(element_name)) return below;
  }
  return nullptr;
}

std::vector<const XmlElement*> XmlElement::all(std::string_view child_name) const {
  std::vector<const XmlElement*> found;
  for (const XmlElement& c : children)
    if (c.name == child_name) found.push_back(&c);
  return found;
}

bool XmlElement::is_nil() const { return attribute("nil") == "true" || attribute("nil") == "1"; }

const std::string& XmlElement::value(std::string_view child_name) const {
  static const std::string none;
  const XmlElement* found = child(child_name);
  return found == nullptr || found->is_nil() ? none : found->text;
}

std::optional<std::string> xml_root(const std::filesystem::path& file) {
  XmlReading reading(file, nullptr);
  try {
    XmlElement root = reading.run();
    if (!reading.has_root()) return std::nullopt;
    return std::move(root.name);
  } catch (const Error&) {
    return std::nullopt;
  }
}

XmlElement read_xml_members(const std::filesystem::path& file,
                            const std::function<void(const std::string&, XmlElement&&)>& take) {
  return XmlReading(file, &take).run();
}

}  // namespace solotaxi::io
