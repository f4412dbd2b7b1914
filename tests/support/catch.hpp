// The one place that knows which Catch2 Debian ships (2.13).
#pragma once

#include <catch2/catch.hpp>
