// Arrays the kernel can load whole vectors from.
#pragma once

#include <cstddef>
#include <memory>
#include <new>
#include <vector>

namespace mildway::odds {

inline constexpr std::size_t kVectorBytes = 64;

template <class T>
struct VectorAllocator {
    using value_type = T;
    VectorAllocator() = default;
    template <class U>
    explicit VectorAllocator(const VectorAllocator<U>& /*other*/) noexcept {}

    [[nodiscard]] T* allocate(std::size_t n) {
        return static_cast<T*>(::operator new (n * sizeof(T), std::align_val_t{kVectorBytes}));
    }
    void deallocate(T* p, std::size_t /*n*/) noexcept {
        ::operator delete (p, std::align_val_t{kVectorBytes});
    }
    friend bool operator==(const VectorAllocator& /*a*/, const VectorAllocator& /*b*/) { return true; }
};

using AlignedFloats = std::vector<float, VectorAllocator<float>>;

}  // namespace mildway::odds
