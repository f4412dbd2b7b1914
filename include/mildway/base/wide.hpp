// Loops compiled once for each width of vector registers; the machine picks at the start of the program.
#pragma once

// Only for functions of files that are compiled with -ffp-contract=off (CMakeLists.txt): every width then
// gives the same bits. Sanitizers are not ready when the choice is made.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(MILDWAY_SANITIZED)
#define MILDWAY_WIDE __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define MILDWAY_WIDE
#endif
