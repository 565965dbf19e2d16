"""The Python module: the same answers as the program's, errors as exceptions, arrays that agree with the reports."""
import json
import os
import pathlib
import subprocess
import tempfile
import threading
import unittest

import numpy as np
import solotaxi

ROOT = pathlib.Path(os.environ["SOLOTAXI_ROOT"])
PROGRAM = os.environ["SOLOTAXI_PROGRAM"]
MAP = ROOT / "data/demo/field.geojson"
HEIGHTS = ROOT / "data/demo/elevation.tif"


def told_by_program(*args):
    done = subprocess.run([PROGRAM, *map(str, args), "--format", "json"], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


class Module(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.field = solotaxi.load(MAP, dem=HEIGHTS)

    def test_answers_are_those_of_the_program(self):
        field = [MAP, "--dem", HEIGHTS]
        self.assertEqual(self.field.check(), told_by_program("check", *field))
        self.assertEqual(
            self.field.route("stand:23", "runway:27", engines="left", objective="fuel"),
            told_by_program("route", *field, "--from", "stand:23", "--to", "runway:27", "--engines", "left", "--objective", "fuel"))
        self.assertEqual(
            self.field.plan("stand:12", "runway:09", queue=5, oat=-3.5, close=["B", "C"], apu=False),
            told_by_program("plan", *field, "--from", "stand:12", "--to", "runway:09", "--queue", 5, "--oat", -3.5,
                            "--close", "B", "--close", "C", "--apu", "off"))
        clearance = "taxi to holding point A1 runway 09 via M, K, A"
        self.assertEqual(
            self.field.preview("stand:12", clearance),
            told_by_program("preview", *field, "--from", "stand:12", "--clearance", clearance))
        self.assertEqual(self.field.screen(mend=0), told_by_program("screen", *field, "--mend", 0))

    def test_a_keyword_is_an_option_and_changes_the_answer(self):
        light, heavy = (self.field.plan("stand:12", "runway:09", mass=m)["fuel_kg"] for m in (45000, np.float64(78000)))
        self.assertLess(light, heavy)

    def test_errors_are_exceptions_by_class_and_tell_what_and_where(self):
        with self.assertRaisesRegex(solotaxi.UsageError, "--queue"):
            self.field.plan("stand:12", "runway:09", queue=1000)
        with self.assertRaisesRegex(solotaxi.UsageError, "que"):
            self.field.plan("stand:12", "runway:09", queueing=1)
        with self.assertRaisesRegex(solotaxi.DataError, "stand"):
            self.field.plan("stand:no such", "runway:09")
        with self.assertRaisesRegex(solotaxi.NoRouteError, "no route"):
            self.field.route("stand:12", "runway:09", close=["M"] + [f"node:{n}" for n in self.nodes_about("12")])
        with self.assertRaisesRegex(solotaxi.DataError, "missing.osm"):
            solotaxi.load("missing.osm")
        self.assertTrue(issubclass(solotaxi.UsageError, ValueError))

    def nodes_about(self, stand):
        """The nodes next to the stand's own, by its route's first leg."""
        first = self.field.route(f"stand:{stand}", "runway:09")["legs"][0]["geometry"][-1]
        nodes = self.field.nodes()
        away = np.hypot(nodes["lat"] - first[1], nodes["lon"] - first[0])
        return [int(np.argmin(away))]

    def test_keywords_that_the_module_sets_itself_are_refused(self):
        for keyword in ("format", "dem", "units"):
            with self.assertRaises(ValueError):
                self.field.plan("stand:12", "runway:09", **{keyword: "x"})
        with self.assertRaises(TypeError):
            self.field.plan("stand:12", "runway:09", queue={})

    def test_arrays_agree_with_the_report(self):
        nodes, segments, report = self.field.nodes(), self.field.segments(), self.field.check()
        self.assertEqual(len(nodes["lat"]), report["counts"]["nodes"])
        self.assertEqual(len(segments["length_m"]), report["counts"]["segments"])
        self.assertAlmostEqual(segments["length_m"].sum(), report["length_m"]["total"], delta=1.0)
        first = segments["first_vertex"]
        self.assertEqual(first[-1], len(segments["vertices"]))
        for end, at in (("from", first[:-1]), ("to", first[1:] - 1)):
            for column, key in ((0, "lat"), (1, "lon")):
                np.testing.assert_allclose(segments["vertices"][at, column], nodes[key][segments[end]], rtol=0, atol=1e-9)
        known = ~np.isnan(segments["grade"])
        self.assertGreater(known.sum(), 50)
        self.assertLess(np.abs(segments["grade"][known]).max(), 0.2)

    def test_a_field_may_be_asked_from_several_threads(self):
        alone = self.field.plan("stand:12", "runway:09")
        answers = []
        threads = [threading.Thread(target=lambda: answers.append(self.field.plan("stand:12", "runway:09"))) for _ in range(3)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertEqual(answers, [alone] * 3)

    def test_docstrings_tell_every_keyword(self):
        self.assertIn("Keyword arguments", solotaxi.Field.plan.__doc__)
        for keyword in ("queue", "apu", "warm_up", "close"):
            self.assertIn(f"  {keyword}: ", solotaxi.Field.plan.__doc__)
        self.assertIn("  dem: ", solotaxi.load.__doc__)
        self.assertNotIn("  dem: ", solotaxi.Field.plan.__doc__)
        self.assertIn("not for navigation", solotaxi.__doc__)
        self.assertIn("narrow-body-twin", solotaxi.aircraft())

    def test_an_estimate_adds_up(self):
        rows = pathlib.Path(ROOT / "data/demo/movements.csv").read_text(encoding="utf-8").splitlines()[:4]
        with tempfile.TemporaryDirectory() as folder:
            three = pathlib.Path(folder) / "three.csv"
            three.write_text("\n".join(rows) + "\n", encoding="utf-8")
            estimate = solotaxi.estimate(movements=three, field=f"XQTB={MAP}", dem=f"XQTB={HEIGHTS}")
        self.assertEqual(estimate["rows"], 3)


if __name__ == "__main__":
    unittest.main()
