// The commands. Each computes everything first and writes last; failures are thrown as Error.
#pragma once

#include <iosfwd>
#include <string>

#include "field.hpp"
#include "options.hpp"

namespace solotaxi::cli {

/// A command was told to stop (SIGINT, SIGTERM), and has.
struct Stopped {
  int signal = 0;
  std::string message;
};

void check_command(const CheckOptions& options, const Loader& load, std::ostream& out);
void route_command(const RouteOptions& options, const Loader& load, std::ostream& out);
void plan_command(const PlanOptions& options, const Loader& load, std::ostream& out);
void preview_command(const PreviewOptions& options, const Loader& load, std::ostream& out);
/// `progress`: where it is told how far it is, where that is a terminal. Throws Stopped.
void estimate_command(const EstimateOptions& options, std::ostream& out, std::ostream* progress);
void merge_command(const MergeOptions& options, std::ostream& out);
void convert_command(const ConvertOptions& options, std::ostream& out);
void screen_command(const ScreenOptions& options, const Loader& load, std::ostream& out);

}  // namespace solotaxi::cli
