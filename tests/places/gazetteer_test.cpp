#include "mildway/places/gazetteer.hpp"

#include "mildway/base/errors.hpp"

#include "catch.hpp"
#include "temp_workspace.hpp"

#include <string>
#include <vector>

using namespace mildway;
using namespace mildway::places;

namespace {

const std::filesystem::path kFixtures = std::filesystem::path(MILDWAY_SOURCE_DIR) / "fixtures/places";

std::vector<std::string> names_of(const std::vector<Candidate>& candidates) {
    std::vector<std::string> names;
    for (const Candidate& candidate : candidates) names.push_back(candidate.place.name);
    return names;
}

std::vector<std::string> towns(const std::string& text) {
    return names_of(Gazetteer(kFixtures / "towns.txt").find(text));
}

using Names = std::vector<std::string>;

/// What is found in a file of this content.
std::vector<Candidate> find_in(const std::string& content, const std::string& text) {
    const testing::TempFolder folder;
    testing::spill(folder.path() / "gazetteer.txt", content);
    return Gazetteer(folder.path() / "gazetteer.txt").find(text);
}

}  // namespace

TEST_CASE("a town and its state are one place whatever the case and the comma") {
    const std::string text = GENERATE("Duluth MN", "Duluth, MN", "duluth mn", "DULUTH,MN", "  Duluth   MN ");
    const auto found = Gazetteer(kFixtures / "towns.txt").find(text);
    REQUIRE(names_of(found) == Names{"Duluth MN"});
    CHECK(found[0].place.latitude_deg == 46.78);
    CHECK(found[0].place.longitude_deg == -92.14);
    CHECK(found[0].place.zone.empty());
    CHECK(found[0].source == "gazetteer towns.txt");
}

TEST_CASE("a town of a gazetteer is in its state's region and a ZIP code's area in none") {
    const auto region_of = [](const char* file, const char* text) {
        const auto found = Gazetteer(kFixtures / file).find(text);
        REQUIRE(found.size() == 1);
        return found[0].place.region;
    };
    CHECK(region_of("towns.txt", "duluth mn") == "US-MN");
    CHECK(region_of("towns.txt", "Duluth GA") == "US-GA");
    CHECK(region_of("zip_areas.txt", "55802").empty());
}

TEST_CASE("a town without its state is every town of that name") {
    CHECK(towns("Duluth") == Names{"Duluth GA", "Duluth MN"});
}

TEST_CASE("a town of which the asked one is only the beginning is another") {
    CHECK(towns("Duluth OK").empty());
    CHECK(towns("Newt").empty());
}

TEST_CASE("the kind of a town is no part of its name") {
    CHECK(towns("Newt Hollow NC") == Names{"Newt Hollow NC"});
    CHECK(towns("Duluth Junction") == Names{"Duluth Junction OK"});
    CHECK(towns("Otterville-Davidson TN") == Names{"Otterville-Davidson TN"});
}

TEST_CASE("a town whose own name ends in City keeps that") {
    CHECK(towns("Kansas City MO") == Names{"Kansas City MO"});
    CHECK(towns("Kansas MO").empty());
}

TEST_CASE("saints are found however they are written") {
    const std::string text = GENERATE("St. Paul MN", "St Paul MN", "Saint Paul, MN");
    CHECK(towns(text) == Names{"St. Paul MN"});
}

TEST_CASE("a state that has no such town finds none") {
    CHECK(towns("Duluth TX").empty());
}

TEST_CASE("a ZIP code is found in the file of their areas with or without its last four digits") {
    const std::string text = GENERATE("55802", "55802-1234", " 55802 ");
    const auto found = Gazetteer(kFixtures / "zip_areas.txt").find(text);
    REQUIRE(names_of(found) == Names{"ZIP 55802"});
    CHECK(found[0].place.latitude_deg == 46.762);
    CHECK(found[0].place.longitude_deg == -92.088);
}

TEST_CASE("a ZIP code keeps its leading zeros") {
    CHECK(names_of(Gazetteer(kFixtures / "zip_areas.txt").find("00601")) == Names{"ZIP 00601"});
    CHECK(Gazetteer(kFixtures / "zip_areas.txt").find("601").empty());
}

TEST_CASE("ZIP codes are not looked for among towns nor towns among ZIP codes") {
    CHECK(towns("55802").empty());
    CHECK(Gazetteer(kFixtures / "zip_areas.txt").find("Duluth MN").empty());
}

TEST_CASE("what is half a ZIP code is none") {
    const std::string text = GENERATE("5580", "558021", "55802-", "55802-123", "5580a", "");
    CHECK(Gazetteer(kFixtures / "zip_areas.txt").find(text).empty());
}

TEST_CASE("columns parted by bars are read like those parted by tabs") {
    const auto found = find_in("GEOID|ALAND|INTPTLAT|INTPTLONG\n55802|1|46.5|-92.5\n", "55802");
    REQUIRE(found.size() == 1);
    CHECK(found[0].place.latitude_deg == 46.5);
}

TEST_CASE("a byte order mark and carriage returns do no harm") {
    CHECK(find_in("\xEF\xBB\xBFGEOID\tINTPTLAT\tINTPTLONG\r\n55802\t46.5\t-92.5\r\n", "55802").size() == 1);
}

TEST_CASE("a broken gazetteer is refused with its line and column") {
    const auto [content, reason] = GENERATE(table<std::string, std::string>({
        {"", "holds no places"},
        {"GEOID\tINTPTLAT\tINTPTLONG\n", "holds no places"},
        {"GEOID\tINTPTLAT\n55802\t46.5\n", "gazetteer.txt:1: INTPTLONG: there is no such column"},
        {"USPS\tGEOID\tINTPTLAT\tINTPTLONG\nMN\t1\t46.5\t-92.5\n",
         "gazetteer.txt:1: NAME: there is no such column"},
        {"GEOID\tINTPTLAT\tINTPTLONG\n55802\t46.5\n", "gazetteer.txt:2: has 2 columns; the first line has 3"},
        {"GEOID\tINTPTLAT\tINTPTLONG\n55802\tnorth\t-92.5\n",
         "gazetteer.txt:2: INTPTLAT: is 'north'; expected degrees from -90 to 90"},
        {"GEOID\tINTPTLAT\tINTPTLONG\n55802\t46.5\t-92.5\n55803\t46.5\t\n",
         "gazetteer.txt:3: INTPTLONG: is ''"},
        {"GEOID\tINTPTLAT\tINTPTLONG\n55802\t-92.5\t46.5\n", "gazetteer.txt:2: INTPTLAT: is '-92.5'"},
        {"GEOID\tINTPTLAT\tINTPTLONG\n55802\tnan\t46.5\n", "gazetteer.txt:2: INTPTLAT: is 'nan'"},
        {"GEOID\tINTPTLAT\tINTPTLONG\n\t46.5\t-92.5\n", "gazetteer.txt:2: GEOID: is empty"},
    }));
    CHECK_THROWS_WITH(find_in(content, "55802"), Catch::Contains(reason));
}

TEST_CASE("a gazetteer that is not there is an error that names it") {
    CHECK_THROWS_WITH(Gazetteer("/no/such/file.txt").find("55802"), Catch::Contains("/no/such/file.txt"));
}

TEST_CASE("a gazetteer is not read before it is asked") {
    CHECK_NOTHROW(Gazetteer("/no/such/file.txt").name());
}
