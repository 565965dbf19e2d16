// The Python module: load a field, then ask it what the program's commands tell. Options are keyword arguments, read by the
// command line itself, so ranges, defaults and errors are the same; results are the JSON of the commands as plain dicts.
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>

#include <memory>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "arguments.hpp"
#include "arrays.hpp"
#include "cli/answer.hpp"
#include "cli/build_facts.hpp"
#include "cli/commands.hpp"
#include "cli/field.hpp"
#include "solotaxi/base/error.hpp"
#include "solotaxi/io/aircraft_file.hpp"

namespace py = pybind11;

namespace solotaxi::python {
namespace {

using Arguments = std::vector<std::string>;

const Arguments kOfCheck{"--format", "--out", "--code-letter"};  ///< options of `check` that tell nothing of a field
const Arguments kAnswer{"--format", "--units"};                  ///< results are dicts in SI

Arguments with(Arguments names, const Arguments& more) {
  names.insert(names.end(), more.begin(), more.end());
  return names;
}

/// What is told to load() and not to a question.
Arguments of_field() { return with(options_of("check", kOfCheck), kAnswer); }

py::object dict_of(const std::string& json) { return py::module_::import("json").attr("loads")(json); }

/// The field as it was loaded, immutable.
class Field {
 public:
  explicit Field(Arguments args) : args_(std::move(args)) {
    const py::gil_scoped_release unlocked;
    network_ = std::make_shared<const network::Network>(cli::load_network(cli::field_options(args_)));
  }

  [[nodiscard]] py::object ask(Arguments args) const {
    args.insert(args.begin() + 1, args_.begin(), args_.end());
    args.emplace_back("--format=json");
    std::ostringstream out;
    {
      const py::gil_scoped_release unlocked;
      cli::answer(args, [this](const cli::FieldOptions&) { return network_; }, out, nullptr);
    }
    return dict_of(out.str());
  }

  [[nodiscard]] const network::Network& network() const { return *network_; }
  [[nodiscard]] const std::string& map() const { return args_.front(); }

 private:
  Arguments args_;  // MAP [OPTION]...
  std::shared_ptr<const network::Network> network_;
};

/// A method that asks a command with keyword arguments alone.
void def_command(py::class_<Field>& type, const char* command, const char* about, const Arguments& more) {
  const Arguments kept = with(of_field(), more);
  type.def(
      command,
      [command, kept](const Field& field, const py::kwargs& options) {
        Arguments args{command};
        append_options(args, options, kept);
        return field.ask(std::move(args));
      },
      doc_of(command, about, kept).c_str());
}

/// The same with two places before the keyword arguments.
void def_question(py::class_<Field>& type, const char* command, const char* about) {
  const Arguments kept = with(of_field(), {"--from", "--to"});
  type.def(
      command,
      [command, kept](const Field& field, const std::string& from, const std::string& to, const py::kwargs& options) {
        Arguments args{command, "--from=" + from, "--to=" + to};
        append_options(args, options, kept);
        return field.ask(std::move(args));
      },
      py::arg("from_"), py::arg("to"), doc_of(command, about, kept).c_str());
}

void define_field(py::module_& m) {
  py::class_<Field> field(m, "Field", "A field made of a map; load() gives one.");
  field.def_property_readonly("map", &Field::map, "The map file.");
  field.def("nodes", [](const Field& f) { return node_arrays(f.network()); },
            "Nodes as arrays: lat, lon [degrees], height_m (nan where unknown).");
  field.def("segments", [](const Field& f) { return segment_arrays(f.network()); },
            "Segments as arrays and lists: from, to (nodes), length_m, grade (mean, rise over\n"
            "run; nan where unknown), one_way (1 along, -1 against, 0), closed, name, kind,\n"
            "source_id; vertices (lat, lon) of segment s are rows first_vertex[s] to\n"
            "first_vertex[s + 1].");
  def_command(field, "check", "What the map holds, what was built of it, and every doubt: a dict as check.schema.json says.", {});
  def_question(field, "route", "The way from one place to another: a dict as route.schema.json says.");
  def_question(field, "plan",
               "The way that burns least fuel, and where engines start and stop on it: a dict as plan.schema.json says.");
  const Arguments kept = with(of_field(), {"--from", "--clearance"});
  field.def(
      "preview",
      [kept](const Field& f, const std::string& from, const std::string& clearance, const py::kwargs& options) {
        Arguments args{"preview", "--from=" + from, "--clearance=" + clearance};
        append_options(args, options, kept);
        return f.ask(std::move(args));
      },
      py::arg("from_"), py::arg("clearance"),
      doc_of("preview", "The plan of a route a controller assigned: a dict as preview.schema.json says.", kept).c_str());
  def_command(field, "screen", "Every stand against every runway end: a dict as screen.schema.json says.", {});
}

/// Library errors as Python's: UsageError is a ValueError, the others are of their own.
void define_errors(py::module_& m) {
  static py::exception<Error> usage(m, "UsageError", PyExc_ValueError), data(m, "DataError"), no_route(m, "NoRouteError");
  py::register_exception_translator([](std::exception_ptr thrown) {
    try {
      if (thrown) std::rethrow_exception(thrown);
    } catch (const Error& error) {
      const auto& type = error.error_class() == ErrorClass::usage ? usage : error.error_class() == ErrorClass::data ? data : no_route;
      PyErr_SetString(type.ptr(), error.one_line().c_str());
    } catch (const cli::Stopped& stopped) {
      PyErr_SetString(PyExc_KeyboardInterrupt, stopped.message.c_str());
    }
  });
}

}  // namespace
}  // namespace solotaxi::python

PYBIND11_MODULE(solotaxi, m) {
  using namespace solotaxi;
  using namespace solotaxi::python;
  m.doc() =
      "One-engine taxi routes from open map data.\n\n"
      "A planning aid, not for navigation: the operator's procedures, the aircraft flight\n"
      "manual, air traffic control and local rules decide.\n\n"
      "    field = solotaxi.load(\"field.osm.pbf\", dem=\"heights.tif\")\n"
      "    plan = field.plan(\"stand:12\", \"runway:27\", queue=5)\n"
      "    plan[\"advised\"], plan[\"saving_kg\"]\n\n"
      "Keyword arguments are the options of the program's commands.";
  m.attr("__version__") = cli::project_version();
  define_errors(m);
  define_field(m);
  m.def(
      "load",
      [](const py::object& map, const py::kwargs& options) {
        Arguments args{text_of(map, "map")};
        append_options(args, options, kOfCheck);
        return Field(std::move(args));
      },
      py::arg("map"),
      doc_of("check", "Reads a map and heights, builds the network: a Field.", kOfCheck).c_str());
  m.def(
      "estimate",
      [](const py::kwargs& options) {
        Arguments args{"estimate", "--format=json"};
        append_options(args, options, {"--format"});
        std::ostringstream out;
        {
          const py::gil_scoped_release unlocked;
          cli::answer(args, {}, out, nullptr);
        }
        return dict_of(out.str());
      },
      doc_of("estimate", "Fuel and emissions of many movements: a dict as estimate.schema.json says.", {"--format"}).c_str());
  m.def("aircraft", &io::aircraft_names, "Names of the built-in aircraft.");
}
