//! The cheapest way to give each of n things one of n places.

/// The least total cost of a perfect matching (Hungarian method with potentials, n³).
pub(super) fn cheapest(cost: &[Vec<i64>]) -> i64 {
    let n = cost.len();
    let mut row_price = vec![0_i64; n + 1];
    let mut column_price = vec![0_i64; n + 1];
    // Row (from 1) matched to each column; column 0 stands for "not yet".
    let mut row_of = vec![0_usize; n + 1];
    for row in 1..=n {
        let mut way = vec![0_usize; n + 1];
        let mut least = vec![i64::MAX; n + 1];
        let mut used = vec![false; n + 1];
        row_of[0] = row;
        let mut column = 0;
        while row_of[column] != 0 {
            used[column] = true;
            let at = row_of[column];
            let (mut step, mut next) = (i64::MAX, 0);
            for j in 1..=n {
                if used[j] {
                    continue;
                }
                let reduced = cost[at - 1][j - 1] - row_price[at] - column_price[j];
                if reduced < least[j] {
                    least[j] = reduced;
                    way[j] = column;
                }
                if least[j] < step {
                    (step, next) = (least[j], j);
                }
            }
            for j in 0..=n {
                if used[j] {
                    row_price[row_of[j]] += step;
                    column_price[j] -= step;
                } else if least[j] < i64::MAX {
                    least[j] -= step;
                }
            }
            column = next;
        }
        while column != 0 {
            row_of[column] = row_of[way[column]];
            column = way[column];
        }
    }
    (1..=n).map(|j| cost[row_of[j] - 1][j - 1]).sum()
}

#[cfg(test)]
mod tests {
    use super::cheapest;

    #[test]
    fn a_matching_costs_what_the_best_permutation_costs() {
        let cost = vec![vec![4, 1, 3], vec![2, 0, 5], vec![3, 2, 2]];
        assert_eq!(cheapest(&cost), 5);
        assert_eq!(cheapest(&[]), 0);
        assert_eq!(cheapest(&[vec![7]]), 7);
    }
}
