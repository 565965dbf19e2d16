// Which segments force every engine, joined into stretches, and what each of them loses. Shared by the parts of screen.
#pragma once

#include <memory>
#include <vector>

#include "planning/screen_field.hpp"

namespace solotaxi::planning {

class Stretches {
 public:
  /// All must outlive it.
  Stretches(const ScreenField& field, const network::Network& network, const ScreenRequest& request)
      : field_(&field), network_(&network), request_(&request) {}

  struct Forced {
    network::SegmentId segment{};
    motion::Reasons reasons;
  };
  /// A pair's reference on the network screened.
  struct Reference {
    std::size_t answer = 0;  ///< of the group's
    std::size_t pair = 0, group = 0;
    std::vector<network::SegmentId> segments;  ///< each once
    std::vector<Forced> forced;                ///< each once
  };

  /// What the answers of a group come to; may be asked of several groups at once.
  [[nodiscard]] std::vector<Reference> look(const ScreenField::Group& group, const std::vector<ScreenAnswer>& answers,
                                            const std::vector<std::unique_ptr<PhaseField>>& fields) const;
  /// Takes it in, group after group; `pairs`: numbers of its answers in Screen::pairs.
  void take(std::vector<Reference> references, const std::vector<std::size_t>& pairs);
  /// Fills segments and stretches of a screen whose pairs have their movements.
  void tell(Screen& screen) const;

 private:
  [[nodiscard]] std::vector<std::uint8_t> of_use(const ScreenField::Group& group, const PlannedWay& way) const;
  [[nodiscard]] std::vector<Forced> forced_on(const PhaseField& field, const PlannedWay& way,
                                              const std::vector<std::uint8_t>& of_use, double& kept_out_m) const;
  [[nodiscard]] motion::Reasons reasons(const PhaseField& field, const routing::Way& way, std::size_t arc) const;
  void join(Screen& screen) const;
  /// A stretch searched anew in one group.
  struct Anew {
    std::size_t stretch = 0, group = 0;
    std::vector<double> saved_kg{};  ///< a year, by answer
    std::size_t gained = 0;
  };
  [[nodiscard]] std::vector<std::size_t> groups_forced_on(const ScreenStretch& stretch) const;
  [[nodiscard]] Barred relieved_of(const ScreenStretch& stretch) const;
  void search(const Screen& screen, const Barred& relieved, Anew& anew) const;
  void search_anew(Screen& screen) const;

  const ScreenField* field_;
  const network::Network* network_;
  const ScreenRequest* request_;
  std::vector<Reference> references_;
  std::vector<std::vector<std::size_t>> pairs_of_;  ///< by group
};

}  // namespace solotaxi::planning
