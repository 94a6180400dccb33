/**
 * Conversion where a person reads or types; the program itself computes in mm, N and °C.
 * The inch and the pound are exact by the yard and pound agreement of 1959, standard gravity by the 3rd CGPM (1901).
 */

/** 1 in = 25.4 mm, exactly. */
const MM_PER_INCH = 25.4;
/** 1 ft = 304.8 mm, exactly. */
const MM_PER_FOOT = 12 * MM_PER_INCH;
/** 1 lbf = 0.45359237 kg · 9.80665 m/s², exactly. */
const N_PER_LBF = 0.453_592_37 * 9.806_65;

export function mmToInches(mm: number): number {
  return mm / MM_PER_INCH;
}

export function inchesToMm(inches: number): number {
  return inches * MM_PER_INCH;
}

export function mmToFeet(mm: number): number {
  return mm / MM_PER_FOOT;
}

/** m/min to ft/min. */
export function metresToFeet(metres: number): number {
  return (metres * 1000) / MM_PER_FOOT;
}

export function newtonsToPounds(newtons: number): number {
  return newtons / N_PER_LBF;
}

/** lbf to N. */
export function poundsToNewtons(pounds: number): number {
  return pounds * N_PER_LBF;
}

/** N/mm to lbf/in. */
export function ratePerMmToPerInch(newtonsPerMm: number): number {
  return newtonsToPounds(newtonsPerMm) * MM_PER_INCH;
}

/** A temperature; a difference of temperatures has no offset and is not for this. */
export function celsiusToFahrenheit(celsius: number): number {
  return celsius * 1.8 + 32;
}

export function fahrenheitToCelsius(fahrenheit: number): number {
  return (fahrenheit - 32) / 1.8;
}
