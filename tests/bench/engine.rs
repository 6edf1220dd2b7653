//! trial
fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let effort = std::env::var("EFFORT").ok().and_then(|e| e.parse().ok()).unwrap_or(20000);
    let seeds: u64 = std::env::var("SEEDS").ok().and_then(|e| e.parse().ok()).unwrap_or(1);
    for f in args.iter().filter(|a| !a.starts_with("--")) {
        let p: tackfree::plan::engine::Problem =
            serde_json::from_str(&std::fs::read_to_string(f).unwrap()).unwrap();
        for seed in 0..seeds {
            let t = std::time::Instant::now();
            let (v, spent) = tackfree::plan::engine::trial(&p, effort, seed);
            let s = t.elapsed().as_secs_f64();
            println!(
                "{} {:?} {:?} spent {} {:.3}s {:.0}/s",
                f.rsplit('/').next().unwrap(),
                p.expect.map(|e| e.optimum),
                v.map(|v| (v.misses, v.lateness, v.makespan, v.idle)),
                spent,
                s,
                spent as f64 / s
            );
        }
    }
}
