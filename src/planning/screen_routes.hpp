// Standard routes drawn on a screened field. Shared by the parts of screen; not public.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <vector>

#include "planning/screen_field.hpp"
#include "routing/way_search.hpp"

namespace solotaxi::planning {

class RouteDrawer {
 public:
  /// All must outlive it.
  RouteDrawer(const ScreenField& field, const network::Network& network, const ScreenRequest& request)
      : field_(&field), network_(&network), request_(&request), own_(field.parted().segments.size(), 0) {}

  /// Takes in the best plans of some stands; `pairs`: their numbers in Screen::pairs.
  void look(const std::vector<ScreenAnswer>& answers, const std::vector<std::size_t>& pairs);
  /// Fills groups and routes of a screen whose pairs have their movements.
  void draw(Screen& screen);

 private:
  /// A stand of a route to be drawn, and where it is asked about.
  struct Member {
    std::size_t pair = 0;           ///< of Screen::pairs
    std::size_t group = 0, at = 0;  ///< of the field's groups, and of its stands
    double movements = 0.0, best_kg = 0.0;
  };
  struct Job {
    std::size_t group = 0;
    ScreenMove end;  ///< its stand is not meant
    std::vector<Member> members;
    double movements = 0.0;
    std::vector<std::optional<routing::Way>> ways{};  ///< drawn, by member
    double new_m = 0.0;
  };

  [[nodiscard]] std::vector<Job> jobs(const Screen& screen) const;
  void draw(Job& job);
  [[nodiscard]] StandardRoute told(const Job& job) const;
  void measure(std::vector<Job>& jobs, std::vector<StandardRoute>& routes, const Screen& screen) const;
  [[nodiscard]] bool counts(std::uint32_t segment) const;
  [[nodiscard]] double lines_m(const std::vector<std::uint8_t>& used) const;

  const ScreenField* field_;
  const network::Network* network_;
  const ScreenRequest* request_;
  std::map<std::size_t, double> charge_kg_;  ///< by pair: of its best plan, see PlannedWay
  std::vector<std::uint8_t> own_;            ///< by segment of the parted network: on a best plan
  std::vector<std::uint8_t> used_;           ///< the same: on a route drawn
};

}  // namespace solotaxi::planning
