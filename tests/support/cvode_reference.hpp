// A whole parcel through SUNDIALS CVODE: a solver that shares nothing with the program's own but the network,
// the warmers' tables and the equations.
#pragma once

#include "mildway/box/air_exchange.hpp"
#include "mildway/box/modes.hpp"
#include "mildway/box/network.hpp"

#include <algorithm>
#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <vector>

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_context.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

namespace mildway::testing {

/// Warmers that share the oxygen of their box, for CvodeReference.
struct ReferenceFire {
    struct Use {
        const box::WarmerType* type;
        double opened_before_packing_h;
        double scale;  ///< of all units together
    };
    std::vector<Use> uses;
    double volume_l;
    double air_l_per_h;
};

/// Integrates the nodes of a parcel, its coolant by enthalpy, and the oxygen that its warmers burn: BDF with
/// dense Newton. It starts afresh at the end of every leg, and where a coolant begins or ends to melt or a
/// table bends, which it finds as roots. Not copyable; runs may be repeated.
class CvodeReference {
public:
    /// A stretch under one outside film. Cut one where an input jumps or bends, too. Networks differ in
    /// conductances alone.
    struct Leg {
        double end_s;
        const box::Network* network;
        WattsPerSquareMeterKelvin film;
    };
    /// Input at a time (s) on a leg: at a seam the same time is asked for on either side.
    using Input = std::function<double(double time_s, std::size_t leg)>;

    struct State {
        box::NodeTemps temps_c{};
        double coolant_j = 0;
        double oxygen_share = 1;
        double burnt_h = 0;
        double power_w = 0;  ///< of the fire
    };

    CvodeReference(const box::Network& network, double relative_tolerance, double absolute_tolerance,
                   std::optional<ReferenceFire> fire = {})
        : first_(&network), nodes_(network.nodes.size()), fire_(std::move(fire)) {
        size_ = static_cast<sunindextype>(nodes_ + (network.coolant ? 1 : 0) + (fire_ ? 2 : 0));
        check(SUNContext_Create(nullptr, &context_), "SUNContext_Create");
        state_ = N_VNew_Serial(size_, context_);
        tolerances_ = N_VNew_Serial(size_, context_);
        matrix_ = SUNDenseMatrix(size_, size_, context_);
        solver_ = SUNLinSol_Dense(state_, matrix_, context_);
        memory_ = CVodeCreate(CV_BDF, context_);
        N_VConst(0.0, state_);
        N_VConst(absolute_tolerance, tolerances_);
        if (network.coolant)  // as many J as this many K
            NV_Ith_S(tolerances_, coolant_at()) = absolute_tolerance * network.coolant->liquid.value();
        check(CVodeInit(memory_, &CvodeReference::rhs, 0.0, state_), "CVodeInit");
        check(CVodeSVtolerances(memory_, relative_tolerance, tolerances_), "CVodeSVtolerances");
        check(CVodeSetUserData(memory_, this), "CVodeSetUserData");
        check(CVodeSetLinearSolver(memory_, solver_, matrix_), "CVodeSetLinearSolver");
        check(CVodeSetMaxNumSteps(memory_, 1'000'000), "CVodeSetMaxNumSteps");
        find_kinks();
        if (roots() > 0)
            check(CVodeRootInit(memory_, roots(), &CvodeReference::root_functions), "CVodeRootInit");
    }
    ~CvodeReference() {
        CVodeFree(&memory_);
        SUNLinSolFree(solver_);
        SUNMatDestroy(matrix_);
        N_VDestroy(tolerances_);
        N_VDestroy(state_);
        SUNContext_Free(&context_);
    }
    CvodeReference(const CvodeReference&) = delete;
    CvodeReference& operator=(const CvodeReference&) = delete;

    /// States at `times_s` (ascending, within the legs), from `start_c` at time 0 and the coolant as it was
    /// conditioned. `power_w` is not asked where there is a fire.
    [[nodiscard]] std::vector<State> run(const box::NodeTemps& start_c, std::span<const Leg> legs,
                                         const Input& ambient_c, const Input& power_w,
                                         std::span<const double> times_s) {
        ambient_c_ = &ambient_c;
        power_w_ = &power_w;
        start(start_c);
        std::vector<State> states;
        std::size_t next = 0;
        double now_s = 0.0;
        for (leg_ = 0; leg_ < legs.size(); ++leg_) {
            network_ = legs[leg_].network;
            outside_ = box::outside_conductance(*network_, legs[leg_].film).value();
            check(CVodeReInit(memory_, now_s, state_), "CVodeReInit");
            check(CVodeSetStopTime(memory_, legs[leg_].end_s), "CVodeSetStopTime");
            for (; next < times_s.size() && times_s[next] <= legs[leg_].end_s; ++next) {
                advance(now_s, times_s[next], legs[leg_].end_s);
                states.push_back(current());
            }
            advance(now_s, legs[leg_].end_s, legs[leg_].end_s);
        }
        if (next != times_s.size())
            throw std::runtime_error("CvodeReference: a time lies after the last leg");
        return states;
    }

private:
    static void check(int flag, const char* call) {
        if (flag < 0) throw std::runtime_error(std::string("CvodeReference: ") + call + " failed");
    }

    [[nodiscard]] sunindextype coolant_at() const { return static_cast<sunindextype>(nodes_); }
    [[nodiscard]] sunindextype oxygen_at() const { return size_ - 2; }
    [[nodiscard]] sunindextype burnt_at() const { return size_ - 1; }
    [[nodiscard]] int roots() const { return static_cast<int>(kinks_h_.size()) + (first_->coolant ? 2 : 0); }

    void start(const box::NodeTemps& start_c) {
        for (std::size_t i = 0; i < nodes_; ++i) NV_Ith_S(state_, static_cast<sunindextype>(i)) = start_c[i];
        if (first_->coolant)
            NV_Ith_S(state_, coolant_at()) = first_->coolant->heat_at(first_->coolant->start_c);
        if (fire_) {
            NV_Ith_S(state_, oxygen_at()) = 1;
            NV_Ith_S(state_, burnt_at()) = 0;
        }
    }

    /// Hours burnt at which a table bends.
    void find_kinks() {
        if (!fire_) return;
        for (const auto& use : fire_->uses) {
            for (const auto& point : use.type->power)
                kinks_h_.push_back(point.hours_since_opening - use.opened_before_packing_h);
        }
    }

    void advance(double& now_s, double to_s, double leg_end_s) {
        while (to_s > now_s) {
            const int flag = CVode(memory_, to_s, state_, &now_s, CV_NORMAL);
            check(flag, "CVode");
            if (flag != CV_ROOT_RETURN) continue;
            check(CVodeReInit(memory_, now_s, state_), "CVodeReInit");
            check(CVodeSetStopTime(memory_, leg_end_s), "CVodeSetStopTime");
        }
    }

    [[nodiscard]] State current() const {
        State state;
        const double* y = NV_DATA_S(state_);
        std::copy_n(y, nodes_, state.temps_c.begin());
        if (first_->coolant) state.coolant_j = y[coolant_at()];
        if (fire_) {
            state.oxygen_share = y[oxygen_at()];
            state.burnt_h = y[burnt_at()];
            state.power_w = fire_power_w(y);
        }
        return state;
    }

    [[nodiscard]] double to_ambient(std::size_t node) const {
        return network_->nodes[node].to_ambient.value() + (node == network_->film_node ? outside_ : 0.0);
    }

    [[nodiscard]] double fire_power_w(const double* y) const {
        double table_w = 0;
        for (const auto& use : fire_->uses)
            table_w += use.scale * use.type->power_at(use.opened_before_packing_h + y[burnt_at()]);
        return y[oxygen_at()] * table_w;
    }

    static int rhs(realtype time_s, N_Vector state, N_Vector slopes, void* self_pointer) {
        const auto& self = *static_cast<const CvodeReference*>(self_pointer);
        const double* y = NV_DATA_S(state);
        double* slope = NV_DATA_S(slopes);
        const double ambient_c = (*self.ambient_c_)(time_s, self.leg_);
        const double power_w = self.fire_ ? self.fire_power_w(y) : (*self.power_w_)(time_s, self.leg_);
        const auto& nodes = self.network_->nodes;
        for (std::size_t i = 0; i < nodes.size(); ++i) {
            slope[i] = nodes[i].constant_power.value() + nodes[i].warmer_share * power_w +
                       self.to_ambient(i) * (ambient_c - y[i]);
        }
        for (const auto& link : self.network_->links) {
            const double flow_w = link.conductance.value() * (y[link.a] - y[link.b]);
            slope[link.a] -= flow_w;
            slope[link.b] += flow_w;
        }
        if (self.first_->coolant) self.add_coolant(y, slope);
        for (std::size_t i = 0; i < nodes.size(); ++i) slope[i] /= nodes[i].capacity.value();
        if (self.fire_) {
            const ReferenceFire& fire = *self.fire_;
            const double share = y[self.oxygen_at()];
            slope[self.oxygen_at()] =
                (fire.air_l_per_h * (1 - share) - box::air_litres_per_watt_hour() * power_w) / fire.volume_l /
                3600;
            slope[self.burnt_at()] = share / 3600;
        }
        return 0;
    }

    void add_coolant(const double* y, double* slope) const {
        const box::Coolant& coolant = *first_->coolant;
        const double heat_j = y[coolant_at()];
        double coolant_c = coolant.melts_at_c;
        if (heat_j < 0) coolant_c += heat_j / coolant.solid.value();
        if (heat_j > coolant.latent_j) coolant_c += (heat_j - coolant.latent_j) / coolant.liquid.value();
        const double flow_w = coolant.to_cavity.value() * (y[first_->cavity] - coolant_c);
        slope[first_->cavity] -= flow_w;
        slope[coolant_at()] = flow_w;
    }

    static int root_functions(realtype, N_Vector state, realtype* values, void* self_pointer) {
        const auto& self = *static_cast<const CvodeReference*>(self_pointer);
        const double* y = NV_DATA_S(state);
        for (const double kink_h : self.kinks_h_) *values++ = y[self.burnt_at()] - kink_h;
        if (!self.first_->coolant) return 0;
        *values++ = y[self.coolant_at()];
        *values = y[self.coolant_at()] - self.first_->coolant->latent_j;
        return 0;
    }

    const box::Network* first_;  // the caller keeps it and those of the legs alive
    std::size_t nodes_;
    std::optional<ReferenceFire> fire_;
    std::vector<double> kinks_h_;
    sunindextype size_ = 0;
    SUNContext context_ = nullptr;
    N_Vector state_ = nullptr;
    N_Vector tolerances_ = nullptr;
    SUNMatrix matrix_ = nullptr;
    SUNLinearSolver solver_ = nullptr;
    void* memory_ = nullptr;
    const Input* ambient_c_ = nullptr;
    const Input* power_w_ = nullptr;
    const box::Network* network_ = nullptr;
    std::size_t leg_ = 0;
    double outside_ = 0.0;
};

}  // namespace mildway::testing
