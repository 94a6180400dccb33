-- The whole chain of figures of one recording, from mechanics alone, in the SQL of DuckDB: window functions, quantile_cont, self-joins.
-- It shares nothing with the program: the figures of fixtures/replay/whole-chain/site.yaml and its service entries are typed again here.
-- `$recording` is put in by whoever runs it. Lengths mm, forces N, times ms since the epoch.

CREATE TABLE reading AS
SELECT epoch_ms(CAST(rtrim("time", 'Z') AS TIMESTAMP)) AS t, split_part(signal, '/', -1) AS quantity, signal, CAST(value AS DOUBLE) AS raw
FROM read_csv('$recording', header = true, all_varchar = true);

-- 1. Scale and range. 4–20 mA over 0…250 mm, 0–10 V over 100…450 mm; NE 43: 3.8 to 20.5 mA is measurement.
CREATE TABLE scaled AS
SELECT t, signal, quantity,
  CASE quantity WHEN 'position' THEN (raw - 4) / 16 * 250 WHEN 'spring' THEN 100 + raw / 10 * 350 ELSE raw END AS v,
  -- Ten periods of silence, and the signal is lost (alarms: signal-lost).
  10000 * CASE WHEN quantity IN ('position', 'spring') THEN 300 WHEN quantity = 'running' THEN 60
    WHEN signal LIKE '%/oven/%' THEN 600 ELSE 900 END AS lost_after
FROM reading
WHERE NOT (quantity = 'position' AND NOT raw BETWEEN 3.8 AND 20.5);

-- What stands on either side of a silence are no neighbours; a signal that was lost is there again with its third reading.
CREATE TABLE taken AS
WITH parted AS (
  SELECT *, sum(CASE WHEN t - before >= lost_after THEN 1 ELSE 0 END) OVER (PARTITION BY signal ORDER BY t) AS part
  FROM (SELECT *, lag(t) OVER (PARTITION BY signal ORDER BY t) AS before FROM scaled)
)
SELECT * EXCLUDE (nr, before) FROM (SELECT *, row_number() OVER (PARTITION BY signal, part ORDER BY t) AS nr FROM parted)
WHERE part = 0 OR nr >= 3;

-- 2. Spikes: Hampel over seven readings, k = 3. The floor that the rule needs (mechanics §5) is 10 mm here: the carriage breathes by less than
-- 2 mm to either side, and the least spike put into the recording is 15 mm high. Fewer than five readings tell no spike from a change.
CREATE TABLE judged AS
WITH around AS (
  SELECT *, list(v) OVER (PARTITION BY signal, part ORDER BY t ROWS BETWEEN 3 PRECEDING AND 3 FOLLOWING) AS seven
  FROM taken WHERE quantity IN ('position', 'spring')
), middles AS (SELECT *, list_aggregate(seven, 'median') AS middle FROM around)
SELECT * EXCLUDE (seven),
  len(seven) >= 5
    AND abs(v - middle) > greatest(3 * 1.4826 * list_aggregate(list_transform(seven, x -> abs(x - middle)), 'median'), 10) AS spike
FROM middles;

CREATE TABLE free AS SELECT * FROM judged WHERE NOT spike;

-- 3. Smoothing: weight 1 − exp(−Δt/τ), τ one period of 300 s, written out as the sum that the recursion is. What is forty τ old weighs e⁻⁴⁰.
CREATE TABLE smoothed AS
WITH step AS (SELECT *, lag(t) OVER (PARTITION BY signal, part ORDER BY t) AS before FROM free)
SELECT late.signal, late.part, late.t,
  sum(early.v * coalesce(1 - exp(-(early.t - early.before) / 300000.0), 1) * exp(-(late.t - early.t) / 300000.0)) AS v
FROM step AS late JOIN step AS early
  ON early.signal = late.signal AND early.part = late.part AND early.t BETWEEN late.t - 12000000 AND late.t
GROUP BY ALL;

-- 4. When the conveyor ran. The signal holds its last value; lost, it is unknown.
CREATE TABLE turn AS
WITH said AS (
  SELECT t, v FROM taken WHERE quantity = 'running'
  UNION ALL
  SELECT t + lost_after, NULL FROM (SELECT *, lead(t) OVER (ORDER BY t) AS after FROM scaled WHERE quantity = 'running')
  WHERE after - t >= lost_after
), turned AS (SELECT t, v FROM (SELECT *, lag(v) OVER o AS was, row_number() OVER o AS nr FROM said WINDOW o AS (ORDER BY t)) WHERE nr = 1 OR v IS DISTINCT FROM was)
SELECT t, v AS state, t - lag(t) OVER o AS stood_before,
  coalesce(sum(ran) OVER (ORDER BY t ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING), 0) AS ran_before
FROM (SELECT *, CASE WHEN v = 1 THEN lead(t) OVER (ORDER BY t) - t ELSE 0 END AS ran FROM turned)
WINDOW o AS (ORDER BY t);

-- 5. How warm the chain is: it follows the oven's temperature with a first-order lag of 900 s (the response to the steps of the readings,
-- summed); the rest of the path is as warm as the hall.
CREATE TABLE oven AS
SELECT t, coalesce(lead(t) OVER (ORDER BY t), t + 600000) AS until, v, row_number() OVER (ORDER BY t) = 1 AS first
FROM taken WHERE signal LIKE '%/oven/%';

-- One sample a second in which a side was read: the mean of both as they stand then.
CREATE TABLE sample AS
WITH each AS (
  SELECT t // 1000 AS second, part, max(t) AS t, arg_max(v, t) FILTER (signal LIKE '%/left/%') AS l, arg_max(v, t) FILTER (signal LIKE '%/right/%') AS r
  FROM free WHERE quantity = 'position' GROUP BY ALL
), paired AS (
  SELECT t, part, last_value(l IGNORE NULLS) OVER o AS l, last_value(r IGNORE NULLS) OVER o AS r
  FROM each WINDOW o AS (PARTITION BY part ORDER BY second ROWS UNBOUNDED PRECEDING)
), sprung AS (
  SELECT paired.*, spring.v AS spring_r FROM paired ASOF JOIN (SELECT * FROM free WHERE quantity = 'spring') AS spring ON paired.t // 1000 >= spring.t // 1000
), warm AS (
  SELECT sprung.*, air.v AS air FROM sprung ASOF JOIN (SELECT * FROM taken WHERE signal LIKE '%/ambient/%') AS air ON sprung.t >= air.t
), chain AS (
  SELECT warm.t, sum(o.v * (exp(-greatest(warm.t - o.until, 0) / 900000.0) - CASE WHEN o.first THEN 0 ELSE exp(-(warm.t - o.t) / 900000.0) END)) AS chain_c
  FROM warm JOIN oven AS o ON o.t <= warm.t AND o.until > warm.t - 36000000 GROUP BY warm.t
)
SELECT warm.*, chain_c, turn.state, turn.ran_before + (warm.t - turn.t) AS ran, warm.t - turn.t AS for_ms, turn.stood_before
FROM (SELECT * FROM warm JOIN chain USING (t)) AS warm ASOF JOIN turn ON warm.t >= turn.t
WHERE l IS NOT NULL AND r IS NOT NULL;

-- 6. Settled windows: fifteen samples of running time (at 300 s they take longer than ten minutes). After a stop of a minute the first minute does not
-- count; a stop of five minutes begins a window anew; a window whose halves differ by 4 mm has a jump in it.
CREATE TABLE settled AS
WITH running AS (
  SELECT *, (l + r) / 2 AS x FROM sample WHERE state = 1 AND NOT (for_ms < 60000 AND coalesce(stood_before, 60000) >= 60000)
), stretches AS (
  SELECT *, sum(CASE WHEN (t - before_t) - (ran - before_ran) >= 300000 THEN 1 ELSE 0 END) OVER (PARTITION BY part ORDER BY t) AS stretch
  FROM (SELECT *, lag(t) OVER o AS before_t, lag(ran) OVER o AS before_ran FROM running WINDOW o AS (PARTITION BY part ORDER BY t))
), numbered AS (SELECT *, row_number() OVER (PARTITION BY part, stretch ORDER BY t) - 1 AS nr FROM stretches)
SELECT min(t) AS from_t, max(t) AS t, max(ran) / 3600000.0 AS run_hours, median(x) AS x, median(l) AS l, median(r) AS r, median(l - r) AS skew,
  median(spring_r) AS spring_r, quantile_cont(x, 0.95) - quantile_cont(x, 0.05) AS breathing, median(chain_c) AS chain_c, median(air) AS air
FROM numbered GROUP BY part, stretch, nr // 15
HAVING count(*) = 15 AND abs(median(x) FILTER (nr % 15 < 7) - median(x) FILTER (nr % 15 >= 7)) < 4;

-- 7. Springs and the ledger. Two pitches were taken out on 11 February 01:30 UTC, both nuts turned by two (lead 3 mm) on 17 February 01:00.
-- F = Σ R·(free − L); T = 2F/(g·(2 + c)); ε = (C + g·x − thermal − elastic)/(n·p) − 1 with C = n_ref·p − g·x_ref.
CREATE TABLE figures AS
WITH account AS (
  SELECT *, CASE WHEN t >= epoch_ms(TIMESTAMP '2026-02-11 01:30:00') THEN 3198 ELSE 3200 END AS n,
    CASE WHEN t >= epoch_ms(TIMESTAMP '2026-02-17 01:00:00') THEN 250 - 2 * 3 ELSE 250 END + (l - 40) AS spring_l
  FROM settled
), pulled AS (SELECT *, 2 * 18 * (greatest(420 - spring_l, 0) + greatest(420 - spring_r, 0)) / (2 * (2 + 0.06)) AS tension, n * 76.2 AS nominal FROM account),
grown AS (
  SELECT *, (1.17e-5 - 0.2e-5) * (40000 * (chain_c - 150) + (nominal - 40000) * (air - 20)) AS thermal,
    (tension - 2 * 18 * 2 * (420 - 250) / (2 * (2 + 0.06))) * nominal / 9e6 AS elastic
  FROM pulled
)
SELECT *, (3200 * 76.2 - 2 * 40 + 2 * x - thermal - elastic) / nominal - 1 AS elongation, CAST(epoch_ms(t + 3600000) AS DATE) AS date FROM grown;

-- 8. A day is the median of its windows; the day on which chain was taken out is of the chain as it was left. Norwegian winter time is UTC + 1.
CREATE TABLE day AS
SELECT date, median(x) AS x, median(skew) AS skew, median(breathing) AS breathing, median(thermal) AS thermal, max(thermal) AS hottest,
  median(elastic) AS elastic, max(n) AS n, median(elongation) AS elongation, median(spring_l) AS spring_l, median(spring_r) AS spring_r,
  median(tension) AS tension, max(run_hours) AS run_hours
FROM (SELECT *, last_value(n) OVER (PARTITION BY date ORDER BY t ROWS BETWEEN UNBOUNDED PRECEDING AND UNBOUNDED FOLLOWING) AS n_left FROM figures)
WHERE n = n_left GROUP BY date;

-- 9. Wear: Theil–Sen of ε over running hours, by as many hours a day as the last whole weeks had (four at most); the travel that it uses,
-- K = 36 N/mm the rate of both springs together; the day on which position and normal excess reach the outer stop at 230 mm.
CREATE TABLE trend AS
WITH slope AS (
  SELECT median((b.elongation - a.elongation) / (b.run_hours - a.run_hours)) AS per_hour
  FROM day AS a JOIN day AS b ON b.run_hours > a.run_hours
), last AS (SELECT * FROM day ORDER BY date DESC LIMIT 1),
week AS (
  SELECT (last.run_hours - day.run_hours) / (last.date - day.date) AS hours_a_day
  FROM day, last WHERE last.date - day.date IN (7, 14, 21, 28) ORDER BY last.date - day.date DESC LIMIT 1
), heat AS (SELECT max(hottest) AS hottest, max(thermal) AS usual FROM day, (SELECT date AS until FROM last) WHERE date > until - 14),
season AS (SELECT max(thermal) AS warmest FROM day),
used AS (SELECT 1 / (2 + n * 76.2 * 36 / (9e6 * 2)) AS per_chain, n * 76.2 AS nominal FROM last)
SELECT per_hour * hours_a_day AS per_day, nominal * per_hour * hours_a_day * per_chain AS travel,
  (230 - last.x - last.breathing / 2 - per_chain * (greatest(heat.hottest - last.thermal, 0) + greatest(warmest - usual, 0)))
    / (nominal * per_hour * hours_a_day * per_chain) AS days_left, last.date AS as_of
FROM slope, last, week, heat, season, used;
