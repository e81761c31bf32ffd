"""A folder read: everything it holds, every fault with its place, and nothing outside it."""

import pytest
from tests.documents.shop_files import EXAMPLE
from tests.documents.small_shop import BUILD, PARTS, SHOP, TEXTS, VEHICLE, write

from rigbook.documents.loader import load_build, load_shop
from rigbook.quantities.parse import Cents

FILES = {"shop": SHOP, "parts": PARTS, "van": VEHICLE, "test": BUILD}
NAMES = {"shop": "shop.yaml", "parts": "parts/parts.yaml", "van": "vehicles/van.yaml", "test": "builds/test.yaml"}


def faults(folder, **changed):
    return load_build(write(folder, **changed), "builds/test.yaml").errors


def test_sound_shop_loads(tmp_path):
    loaded = load_build(write(tmp_path), tmp_path / "builds/test.yaml")
    assert loaded.errors == ()
    assert loaded.build.build.id == "test"
    assert loaded.vehicle.id == "van"
    assert loaded.shop.labour_rate == 9500
    assert loaded.parts["lamp-blue"].labour == 12.0
    assert loaded.parts["lamp-blue"].where_of("mass").line == 8
    assert loaded.files["builds/test.yaml"] == BUILD.encode()
    assert load_shop(tmp_path).errors == ()


def test_every_example_build_loads_but_for_faults_planted_in_it():
    builds = sorted((EXAMPLE / "builds").glob("*.yaml"))
    assert len(builds) >= 3
    for path in builds:
        assert load_build(EXAMPLE, path).errors == (), path.name


# file, what stands there, what stands there instead, what the error says, the nearest name
FAULTS = [
    ("test", "part: lamp-blue", "part: lamp-bleu", "there is no part 'lamp-bleu'", "lamp-blue"),
    ("test", "vehicle: van", "vehicle: vn", "there is no vehicle 'vn'", "van"),
    ("test", "place: grille, tags", "place: gril, tags", "there is no place 'gril'", "grille"),
    ("test", "control.3", "contrl.3", "there is no controller or module 'contrl'", "control"),
    ("test", "control.3", "control.9", "has 8 outputs, and no output 9", ""),
    ("test", "control.3", "block.1", "of the kind fuse-block and has no outputs", ""),
    ("test", "{blue: control.3}", "{bleu: control.3}", "there is no colour of this part 'bleu'", "blue"),
    ("test", "control.in1", "control.in3", "has 2 inputs, and no input 3", ""),
    ("test", "feed: light-feed", "feed: light-fed", "there is no feed 'light-fed'", "light-feed"),
    ("test", "from: block.1", "from: blok.1", "there is no installed block 'blok'", "block"),
    ("test", "from: block.1", "from: block.5", "has 4 positions, and no position 5", ""),
    ("test", "to: battery.auxiliary", "to: battery.auxilary", "there is no battery 'auxilary'", "auxiliary"),
    ("test", "to: battery.auxiliary", "to: battery.starter", "to itself", ""),
    ("test", "ground: stud", "ground: stubb", "there is no ground 'stubb'", "stud"),
    ("test", "state: scene", "state: scen", "there is no saved state 'scen'", "scene"),
    ("test", "gear: park", "gear: parked", "gear has no value 'parked'", "park"),
    ("test", "gear: park", "geer: park", "there is no switch, signal, memory or timer 'geer'", "gear"),
    ("test", "door: yes", "door: open", "door has no value 'open'", ""),
    ("test", "{asleep: 90 %}", "{sleep: 90 %}", "there is no draw of control 'sleep'", "asleep"),
    ("test", "{asleep: 90 %}", "{asleep: 90 %, awake: 20 %}", "more than 100 %", ""),
    ("test", "asleep: 90 %", "asleep: 0.9", "per cent", ""),
    ("test", "seat: driver", "seat: drive", "there is no seat 'drive'", "driver"),
    ("test", "tags: [warning]", "tags: [control]", "one name may not be both", ""),
    ("test", "tags: [warning]", "tags: [tail-left]", "one name may not be both", ""),
    ("test", "id: lamp,", "id: tail,", "is a tag of the vehicle's lamps", ""),
    ("test", "id: lamp,", "id: control,", "stands twice; first in line 15", ""),
    ("test", "place: grille, feed", "feed", "none of place, at, along and on", ""),
    ("test", "place: grille, feed", "place: grille, at: [1 m, 0 m, 1 m], feed", "place and at", ""),
    ("test", "sheds: 3", "sheds: 12", "no shed step", ""),
    ("test", "sheds: 3", "sheds: sometimes", "whole number", ""),
    ("test", "title: Test build", "title: Test #3", "a # began a comment", ""),
    ("test", "end: 100 A", "end: 100", "does not do here", ""),
    ("test", "id: auxiliary", "id: starter", "the vehicle already has a battery", ""),
    ("test", "switching:", "switchng:", "there is no key 'switchng'", "switching"),
    ("test", "rigbook: 1", "rigbook: 2", "reads format 1", ""),
    ("parts", "mass: 0.16 kg", "mass: -0.16 kg", "below zero", ""),
    ("parts", "mass: 0.16 kg", "mass: nan", "not a mass", ""),
    ("parts", "mass: 0.16 kg", "mass: 16", "no unit", ""),
    ("parts", "mass: 0.16 kg", "mas: 0.16 kg", "there is no key 'mas'", "mass"),
    ("parts", "kind: lamp\n", "kind: lampe\n", "is not one of", "lamp"),
    ("parts", "kind: battery", "kind: fuse-block", "key 'positions' is missing", ""),
    ("parts", "id: agm", "id: wire-18", "stands twice", ""),
    ("parts", "labour: 12 min", "labour: 12", "no unit", ""),
    ("parts", "labour: 12 min", "cost: 12 EUR", "the shop counts in USD", ""),
    ("parts", "labour: 12 min", "power: 50 W\n    at: 12.8 V", "do not agree", ""),
    ("parts", "labour: 12 min", "substitutes: [lamp-blu]", "there is no part 'lamp-blu'", "lamp-blue"),
    ("parts", "labour: 12 min", "works: [16 V, 10 V]", "upside down", ""),
    ("parts", "beam: [20 deg, 10 deg]", "beam: [20 deg]", "", ""),
    ("parts", "draws: {awake: 0.25 A, asleep: 4 mA}", "rest: asleep", "has no state 'asleep'", ""),
    ("parts", "limit: 10 A}", "limit: 10 A}\n    banks: [{outputs: 1-9, limit: 40 A}]", "beyond the 8", ""),
    ("van", "length: 5.2 m", "length: 4.2 m", "nodes are", ""),
    ("van", "[battery, rear]", "[battery, reer]", "there is no node 'reer'", "rear"),
    ("van", "area: cabin", "area: cabn", "there is no area 'cabn'", "cabin"),
    ("van", "part: agm", "part: lamp-blue", "is of the kind lamp; battery is needed", ""),
    ("van", "gawr_front: 4410 lb", "gawr_front: 0 lb", "above zero", ""),
    ("van", "count_rear: 2", "count_rear: 3", "2 or 4", ""),
    ("van", "facing: 0 deg, node", "facing: ahead, node", "", ""),
    ("van", "hot: [[1800, 52 A], [6000", "hot: [[1800, 52 A], [600", "do not rise", ""),
    ("shop", "part: wire-18", "part: wire-81", "there is no wire 'wire-81'", "wire-18"),
    ("shop", "labour_rate: 95 USD", "labour_rate: 95", "with its currency", ""),
    ("shop", "title: Test shop", "title: Test shop\n  patterns: {single: [100]}", "pairs of on and off", ""),
]  # fmt: skip


@pytest.mark.parametrize(("file", "old", "new", "says", "near"), FAULTS)
def test_fault_is_told_with_its_place(tmp_path, file, old, new, says, near):
    text = FILES[file]
    assert text.count(old) >= 1
    errors = faults(tmp_path, **{file: text.replace(old, new, 1)})
    line = text[: text.index(old)].count("\n") + 1
    lines = range(line, line + 1 + new.count("\n"))
    fitting = [e for e in errors if e.file == NAMES[file] and e.line in lines and says in e.says]
    if says == "key 'positions' is missing" or "stands twice" in says or "place, at" in says:
        fitting = [e for e in errors if e.file == NAMES[file] and says in e.says]
    assert fitting, [str(e) for e in errors]
    assert near == "" or near in {e.nearest for e in fitting}
    assert all(e.file and e.line >= 1 and e.column >= 1 for e in errors)


def test_errors_of_all_files_come_in_one_go(tmp_path):
    errors = faults(
        tmp_path,
        shop=SHOP.replace("part: wire-18", "part: wire-81"), parts=PARTS.replace("mass: 0.16 kg", "mass: 16"),
        van=VEHICLE.replace("area: cabin", "area: cabn"),
        test=BUILD.replace("sheds: 3", "shed: 3").replace("seat: driver", "seat: drive"),
    )  # fmt: skip
    assert {e.file for e in errors} == set(TEXTS)
    assert (
        len([e for e in errors if e.file == "builds/test.yaml"]) == 2
    )  # a misspelt key and a name that points nowhere


def test_second_spelling_is_accepted(tmp_path):
    parts = PARTS.replace("colours:\n", "colors:\n", 1)
    van = VEHICLE.replace("tyres:", "tires:").replace("colour: red", "color: red")
    loaded = load_build(write(tmp_path, parts=parts, van=van), "builds/test.yaml")
    assert loaded.errors == ()
    assert loaded.vehicle.tyres.load_index == 120
    assert loaded.vehicle.where_of("tyres").line == 9


def test_overlay_is_read_instead_of_the_file(tmp_path):
    write(tmp_path)
    unsaved = {"builds/test.yaml": BUILD.replace("Test build", "Unsaved").encode(), "parts/more.yaml": b"parts: ["}
    loaded = load_build(tmp_path, "builds/test.yaml", unsaved)
    assert {e.file for e in loaded.errors} == {"parts/more.yaml"}
    assert loaded.build.build.title == "Unsaved"


def test_a_vehicle_that_the_build_does_not_reach_holds_nothing_up(tmp_path):
    write(tmp_path)
    (tmp_path / "vehicles/other.yaml").write_text("rigbook: 1\nvehicle: {id: other}\n")
    assert load_build(tmp_path, "builds/test.yaml").errors == ()
    assert {e.file for e in load_shop(tmp_path).errors} == {"vehicles/other.yaml"}


def test_empty_folder_names_the_missing_shop_file(tmp_path):
    assert [(e.file, e.line) for e in load_shop(tmp_path).errors] == [("shop.yaml", 1)]


def test_a_folder_in_place_of_a_file(tmp_path):
    write(tmp_path)
    (tmp_path / "builds/folder.yaml").mkdir()
    assert "is not a file" in load_build(tmp_path, "builds/folder.yaml").errors[0].says
    assert "does not exist" in load_build(tmp_path, "builds/nothing.yaml").errors[0].says


LIGHT = "blue: {current: 0.95 A, light: %s}"


@pytest.mark.parametrize(
    "name", ["../secret.ies", "/etc/passwd", "..", "a/../../secret.ies", "..\\secret.ies", ".hidden"]
)
def test_a_photometric_path_cannot_leave_the_folder(tmp_path, name):
    (tmp_path / "secret.ies").write_text("hush")
    shop = tmp_path / "shop"
    parts = PARTS.replace("blue: {current: 0.95 A, at: 12.8 V, candela: 4200 cd, beam: [20 deg, 10 deg]}", LIGHT % name)
    loaded = load_build(write(shop, parts=parts), "builds/test.yaml")
    assert loaded.light == {}
    assert [e.line for e in loaded.errors] == [11]
    assert b"hush" not in b"".join(loaded.files.values())


def test_links_out_of_the_folder_are_not_followed(tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "secret.yaml").write_text("hush: text\n")
    (outside / "a.ies").write_text("hush")
    shop = write(
        tmp_path / "shop",
        parts=PARTS.replace(
            "blue: {current: 0.95 A, at: 12.8 V, candela: 4200 cd, beam: [20 deg, 10 deg]}", LIGHT % "a.ies"
        ),
    )
    (shop / "light").mkdir()
    (shop / "light/a.ies").symlink_to(outside / "a.ies")
    (shop / "parts/link.yaml").symlink_to(outside / "secret.yaml")
    (shop / "builds/round.yaml").symlink_to(shop / "builds/round.yaml")
    loaded = load_build(shop, "builds/test.yaml")
    assert {(e.file, "leads out" in e.says) for e in loaded.errors} >= {
        ("light/a.ies", True),
        ("parts/link.yaml", True),
    }
    assert b"hush" not in b"".join([*loaded.files.values(), *loaded.light.values()])
    assert load_build(shop, "builds/round.yaml").errors
    assert "does not lie in the shop folder" in str(load_build(shop, outside / "secret.yaml").errors)
    assert "does not lie in the shop folder" in str(load_build(shop, "../outside/secret.yaml").errors)


def test_prices_keep_their_currency(tmp_path):
    loaded = load_build(write(tmp_path, parts=PARTS.replace("labour: 12 min", "cost: 12.50 USD")), "builds/test.yaml")
    price = loaded.parts["lamp-blue"].cost
    assert isinstance(price, Cents)
    assert (price, price.currency) == (1250, "USD")


@pytest.mark.parametrize("encode", [lambda t: t.replace("\n", "\r\n").encode(), lambda t: b"\xef\xbb\xbf" + t.encode()])
def test_line_ends_and_byte_order_mark_load_alike(tmp_path, encode):
    plain = load_build(write(tmp_path / "a"), "builds/test.yaml")
    twin = load_build(write(tmp_path / "b", test=encode(BUILD), parts=encode(PARTS)), "builds/test.yaml")
    assert twin.errors == ()
    assert (twin.build, twin.parts) == (plain.build, plain.parts)
