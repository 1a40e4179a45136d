"""Every ratio in one run: ``python tests/bench``; each bench also runs alone."""

from __future__ import annotations

import bench_check
import bench_click
import bench_fitting
import bench_folder
import bench_show

BENCHES = {
    "a look-up in 1,000 charts, against the bare import of its libraries: at most 1.6 times, and"
    " by feel, which reads every chart, at most 6 times": bench_show,
    "check, against composing the same YAML: at most 8 times for 1,000 charts, and 11 times the time"
    " for 10 times the charts": bench_check,
    "the gig folder of 40 songs, against a bare program that draws as much: at most 2.5 times": bench_folder,
    "regrid, vary and suggest among 500 fills, against listing them: at most 1.5 times": bench_fitting,
    "a click of five minutes: well under a second": bench_click,
}

if __name__ == "__main__":
    for goal, bench in BENCHES.items():
        print(f"\n{goal}", flush=True)
        bench.main()
