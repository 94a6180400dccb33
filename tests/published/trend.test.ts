import { TheilSenRegression } from 'ml-regression-theil-sen';
import { describe, expect, it } from 'vitest';
import { exactKendallP, mannKendall } from '../../agent/flow/trend/kendall.js';
import { theilSen } from '../../agent/flow/trend/theil-sen.js';
import { leastSquares } from '../flow/trend/least-squares.js';
import { seededNoise } from '../flow/trend/seeded-noise.js';

const count = (n: number) => Array.from({ length: n }, (_, i) => i + 1);
const pairs = (text: string) => text.split('|').map((pair) => pair.split(' ').map(Number) as [number, number]);

describe('trend against published values', () => {
  // T1 [L]: Sen 1968, J. Amer. Statist. Assoc. 63, the example held in SciPy's own tests.
  it("gives the slope and interval of Sen's own example", () => {
    const x = [1, 2, 3, 4, 10, 12, 18];
    const y = [9, 15, 19, 20, 45, 55, 78];
    const line = theilSen(x, y, 0.93);
    expect(line?.slope).toBe(4);
    expect(line?.low).toBeCloseTo(3.71, 2);
    expect(line?.high).toBeCloseTo(4.38, 2);
    expect(line?.intercept).toBe(4);
  });

  // T2 [T data, M outputs, recomputed]: Hollander, Wolfe & Chicken, Nonparametric Statistical Methods, Ex. 9.1.
  it('gives the slope, S and exact p of the cloud seeding example', () => {
    const y = [1.26, 1.27, 1.12, 1.16, 1.03];
    expect(theilSen(count(5), y, 0.9)?.slope).toBeCloseTo(-0.05625, 6);
    expect(mannKendall(y).s).toBe(-6);
    expect(exactKendallP(5, -6)).toBeCloseTo(0.11667, 5);
  });

  // T3 [L]: Anscombe 1973, third set, as in npm vega-datasets. One point of eleven lies off a straight line.
  it('holds to the line of ten points where least squares follow the eleventh', () => {
    const x = [10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5];
    const y = [7.46, 6.77, 12.74, 7.11, 7.81, 8.84, 6.08, 5.39, 8.15, 6.42, 5.73];
    const naive = leastSquares(x, y, 0.9);
    expect(naive.intercept).toBeCloseTo(3.0025, 4);
    expect(naive.slope).toBeCloseTo(0.49973, 5);
    expect(theilSen(x, y, 0.9)?.slope).toBeCloseTo(0.34556, 5);
  });

  // T4 [T]: NIST StRD, Norris; least squares certified, Theil–Sen recomputed and not certified.
  it('gives the certified line of Norris, and the slope of the ranks beside it', () => {
    const data = pairs(
      '0.1 0.2|338.8 337.4|118.1 118.2|888.0 884.6|9.2 10.1|228.1 226.5|668.5 666.3|998.5 996.3|449.1 448.6|778.9 777.0|559.2 558.2|0.3 0.4|' +
        '0.1 0.6|778.1 775.5|668.8 666.9|339.3 338.0|448.9 447.5|10.8 11.6|557.7 556.0|228.3 228.1|998.0 995.8|888.8 887.6|119.6 120.2|0.3 0.3|' +
        '0.6 0.3|557.6 556.8|339.3 339.1|888.0 887.2|998.5 999.0|778.9 779.0|10.2 11.1|117.6 118.3|228.9 229.2|668.4 669.1|449.2 448.9|0.2 0.5',
    );
    const y = data.map(([value]) => value);
    const x = data.map(([, value]) => value);
    const naive = leastSquares(x, y, 0.95);
    expect(naive.intercept).toBeCloseTo(-0.262323073774029, 11);
    expect(naive.slope).toBeCloseTo(1.00211681802045, 13);
    expect(naive.residualSd).toBeCloseTo(0.884796396144373, 11);
    expect(naive.rSquared).toBeCloseTo(0.999993745883712, 14);
    const line = theilSen(x, y, 0.95);
    expect(line?.slope).toBeCloseTo(1.00219684, 8);
    expect(line?.low).toBeCloseTo(1.00111532, 8);
    expect(line?.high).toBeCloseTo(1.00305344, 8);
  });

  // T5 [T data, M interval, recomputed]: Montgomery & Runger, Applied Statistics and Probability for Engineers, oxygen purity.
  it('gives the line and the prediction interval of the oxygen purity example', () => {
    const x = [0.99, 1.02, 1.15, 1.29, 1.46, 1.36, 0.87, 1.23, 1.55, 1.4, 1.19, 1.15, 0.98, 1.01, 1.11, 1.2, 1.26, 1.32, 1.43, 0.95];
    const y = [
      90.01, 89.05, 91.43, 93.74, 96.73, 94.45, 87.59, 91.77, 99.42, 93.65, 93.54, 92.52, 90.56, 89.54, 89.85, 90.39, 93.25, 93.41, 94.98,
      87.33,
    ];
    const naive = leastSquares(x, y, 0.95);
    expect(naive.intercept).toBeCloseTo(74.283, 3);
    expect(naive.slope).toBeCloseTo(14.947, 3);
    expect(naive.predict(1).low).toBeCloseTo(86.83, 2);
    expect(naive.predict(1).high).toBeCloseTo(91.63, 2);
  });

  // T6 [L]: npm ml-regression-theil-sen, an independent implementation. Of an even number of slopes it takes the lower of the middle
  // two, not their mean, so numbers of points with an odd number of pairs are compared.
  it('agrees with an independent implementation on random points', () => {
    const noise = seededNoise(6);
    for (let set = 0; set < 50; set++) {
      const n = 3 + 4 * Math.floor(noise.even() * 10);
      const x = Array.from({ length: n }, () => noise.even() * 100);
      const y = x.map((value) => 0.3 * value + noise.normal() * (noise.even() < 0.1 ? 50 : 1));
      expect(theilSen(x, y, 0.9)?.slope).toBeCloseTo(new TheilSenRegression(x, y).slope, 12);
    }
  });

  // T7 [L outputs, M data]: annual flow of the Nile at Aswan 1871–1970, R `datasets`; the outputs vouch for the data.
  it('gives the Mann–Kendall test and the slope of the Nile', () => {
    const nile = [
      1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140, 1100, 1210, 1150,
      1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832,
      764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742,
      801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
    ];
    const test = mannKendall(nile);
    expect(test.s).toBe(-1387);
    expect(test.z).toBeCloseTo(-4.128, 3);
    expect(theilSen(count(100), nile, 0.9)?.slope).toBeCloseTo(-2.6, 1);
  });
});
