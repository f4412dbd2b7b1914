// The parcel's network through SUNDIALS CVODE: a solver that shares nothing with the program's own but the
// network.
#pragma once

#include "mildway/box/modes.hpp"
#include "mildway/box/network.hpp"

#include <cstddef>
#include <functional>
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

/// Integrates one network with BDF, dense Newton and the exact Jacobian. Not copyable; runs may be repeated.
class CvodeReference {
public:
    /// A stretch under one outside film. Cut one where an input jumps or bends, too: the solver starts afresh
    /// there.
    struct Leg {
        double end_s;
        WattsPerSquareMeterKelvin film;
    };
    /// Input at a time (s) on a leg: at a seam the same time is asked for on either side.
    using Input = std::function<double(double time_s, std::size_t leg)>;

    CvodeReference(const box::Network& network, double relative_tolerance, double absolute_tolerance)
        : network_(network), size_(static_cast<sunindextype>(network.nodes.size())) {
        check(SUNContext_Create(nullptr, &context_), "SUNContext_Create");
        state_ = N_VNew_Serial(size_, context_);
        matrix_ = SUNDenseMatrix(size_, size_, context_);
        solver_ = SUNLinSol_Dense(state_, matrix_, context_);
        memory_ = CVodeCreate(CV_BDF, context_);
        N_VConst(0.0, state_);
        check(CVodeInit(memory_, &CvodeReference::rhs, 0.0, state_), "CVodeInit");
        check(CVodeSStolerances(memory_, relative_tolerance, absolute_tolerance), "CVodeSStolerances");
        check(CVodeSetUserData(memory_, this), "CVodeSetUserData");
        check(CVodeSetLinearSolver(memory_, solver_, matrix_), "CVodeSetLinearSolver");
        check(CVodeSetJacFn(memory_, &CvodeReference::jacobian), "CVodeSetJacFn");
        check(CVodeSetMaxNumSteps(memory_, 1'000'000), "CVodeSetMaxNumSteps");
    }
    ~CvodeReference() {
        CVodeFree(&memory_);
        SUNLinSolFree(solver_);
        SUNMatDestroy(matrix_);
        N_VDestroy(state_);
        SUNContext_Free(&context_);
    }
    CvodeReference(const CvodeReference&) = delete;
    CvodeReference& operator=(const CvodeReference&) = delete;

    /// Node temperatures at `times_s` (ascending, within the legs), from `start_c` at time 0.
    [[nodiscard]] std::vector<box::NodeTemps> run(const box::NodeTemps& start_c, std::span<const Leg> legs,
                                                  const Input& ambient_c, const Input& power_w,
                                                  std::span<const double> times_s) {
        ambient_c_ = &ambient_c;
        power_w_ = &power_w;
        for (sunindextype i = 0; i < size_; ++i) NV_Ith_S(state_, i) = start_c[static_cast<std::size_t>(i)];
        std::vector<box::NodeTemps> temps_c;
        std::size_t next = 0;
        double now_s = 0.0;
        for (leg_ = 0; leg_ < legs.size(); ++leg_) {
            outside_ = box::outside_conductance(network_, legs[leg_].film).value();
            check(CVodeReInit(memory_, now_s, state_), "CVodeReInit");
            check(CVodeSetStopTime(memory_, legs[leg_].end_s), "CVodeSetStopTime");
            for (; next < times_s.size() && times_s[next] <= legs[leg_].end_s; ++next) {
                advance(now_s, times_s[next]);
                temps_c.push_back(current());
            }
            advance(now_s, legs[leg_].end_s);
        }
        if (next != times_s.size())
            throw std::runtime_error("CvodeReference: a time lies after the last leg");
        return temps_c;
    }

private:
    static void check(int flag, const char* call) {
        if (flag < 0) throw std::runtime_error(std::string("CvodeReference: ") + call + " failed");
    }

    void advance(double& now_s, double to_s) {
        if (to_s > now_s) check(CVode(memory_, to_s, state_, &now_s, CV_NORMAL), "CVode");
    }

    [[nodiscard]] box::NodeTemps current() const {
        box::NodeTemps temps_c{};
        for (sunindextype i = 0; i < size_; ++i) temps_c[static_cast<std::size_t>(i)] = NV_Ith_S(state_, i);
        return temps_c;
    }

    [[nodiscard]] double to_ambient(std::size_t node) const {
        return network_.nodes[node].to_ambient.value() + (node == network_.film_node ? outside_ : 0.0);
    }

    static int rhs(realtype time_s, N_Vector temps, N_Vector slopes, void* self_pointer) {
        const auto& self = *static_cast<const CvodeReference*>(self_pointer);
        const double* t = NV_DATA_S(temps);
        double* slope = NV_DATA_S(slopes);
        const double ambient_c = (*self.ambient_c_)(time_s, self.leg_);
        const double power_w = (*self.power_w_)(time_s, self.leg_);
        const auto& nodes = self.network_.nodes;
        for (std::size_t i = 0; i < nodes.size(); ++i) {
            slope[i] = nodes[i].constant_power.value() + nodes[i].warmer_share * power_w +
                       self.to_ambient(i) * (ambient_c - t[i]);
        }
        for (const auto& link : self.network_.links) {
            const double flow_w = link.conductance.value() * (t[link.a] - t[link.b]);
            slope[link.a] -= flow_w;
            slope[link.b] += flow_w;
        }
        for (std::size_t i = 0; i < nodes.size(); ++i) slope[i] /= nodes[i].capacity.value();
        return 0;
    }

    static int jacobian(realtype, N_Vector, N_Vector, SUNMatrix out, void* self_pointer, N_Vector, N_Vector,
                        N_Vector) {
        const auto& self = *static_cast<const CvodeReference*>(self_pointer);
        const auto& nodes = self.network_.nodes;
        SUNMatZero(out);
        const auto add = [&](std::size_t row, std::size_t column, double conductance) {
            SM_ELEMENT_D(out, static_cast<sunindextype>(row), static_cast<sunindextype>(column)) +=
                conductance / nodes[row].capacity.value();
        };
        for (std::size_t i = 0; i < nodes.size(); ++i) add(i, i, -self.to_ambient(i));
        for (const auto& link : self.network_.links) {
            const double g = link.conductance.value();
            add(link.a, link.a, -g);
            add(link.a, link.b, g);
            add(link.b, link.b, -g);
            add(link.b, link.a, g);
        }
        return 0;
    }

    const box::Network& network_;  // the caller keeps it alive
    sunindextype size_;
    SUNContext context_ = nullptr;
    N_Vector state_ = nullptr;
    SUNMatrix matrix_ = nullptr;
    SUNLinearSolver solver_ = nullptr;
    void* memory_ = nullptr;
    const Input* ambient_c_ = nullptr;
    const Input* power_w_ = nullptr;
    std::size_t leg_ = 0;
    double outside_ = 0.0;
};

}  // namespace mildway::testing
