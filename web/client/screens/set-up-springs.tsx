import { useState } from 'preact/hooks';
import { inchesToMm, mmToInches } from '../../../agent/units/convert.js';
import { formatNumber, showText, unitOf, type UnitSystem } from '../../../agent/units/display.js';
import { springFigures, springYaml, type SpringForm } from '../logic/spring-form.js';
import { units } from '../state/session.js';

type NumberField = 'wireMm' | 'meanDiameterMm' | 'activeCoils' | 'totalCoils' | 'shearModulusMpa' | 'freeMm';
type ChoiceField = 'ends' | 'coiled' | 'load';

const NUMBERS: readonly { readonly field: NumberField; readonly label: string; readonly length?: boolean; readonly unit?: string }[] = [
  { field: 'wireMm', label: 'Wire', length: true },
  { field: 'meanDiameterMm', label: 'Mean diameter of the coils', length: true },
  { field: 'activeCoils', label: 'Active coils' },
  { field: 'totalCoils', label: 'Coils in all' },
  { field: 'freeMm', label: 'Free length', length: true },
  { field: 'shearModulusMpa', label: 'Shear modulus', unit: 'MPa' },
];
const CHOICES: readonly { readonly field: ChoiceField; readonly label: string; readonly values: readonly string[] }[] = [
  { field: 'ends', label: 'Ends', values: ['ground', 'unground'] },
  { field: 'coiled', label: 'Coiled', values: ['cold', 'hot'] },
  { field: 'load', label: 'Load', values: ['static', 'dynamic'] },
];
/** Round numbers; the modulus is that of cold-drawn spring wire (EN 10270-1). */
const USUAL: SpringForm = {
  ...{ wireMm: 16, meanDiameterMm: 80, activeCoils: 8, totalCoils: 10, shearModulusMpa: 81_500, freeMm: 320 },
  ...{ ends: 'ground', coiled: 'cold', load: 'static' },
};

/** Rate, lengths and stresses of a spring of which only the wire is known, as EN 13906-1 gives them. */
export function SpringFromWire() {
  const system = units.value;
  const [typed, setTyped] = useState<Readonly<Record<NumberField, string>>>(() => typedOf(USUAL, system));
  const [choices, setChoices] = useState<Pick<SpringForm, ChoiceField>>({ ends: USUAL.ends, coiled: USUAL.coiled, load: USUAL.load });
  const form: SpringForm = { ...numbersOf(typed, system), ...choices };
  return (
    <section class="card" aria-label="Spring from wire">
      <h2>Spring from wire</h2>
      <p class="hint">
        By EN 13906-1, for cylindrical compression springs of round wire. The maker’s own data come first where there are any.
      </p>
      <div class="form-grid">
        {NUMBERS.map(({ field, label, length, unit }) => (
          <label key={field} class="field">
            <span>
              {label}
              {length === true ? `, ${unitOf('travel', system)}` : unit === undefined ? '' : `, ${unit}`}
            </span>
            <input
              type="text"
              inputMode="decimal"
              value={typed[field]}
              onInput={({ currentTarget }) => setTyped({ ...typed, [field]: currentTarget.value })}
            />
          </label>
        ))}
        {CHOICES.map(({ field, label, values }) => (
          <label key={field} class="field">
            <span>{label}</span>
            <select value={choices[field]} onChange={({ currentTarget }) => setChoices({ ...choices, [field]: currentTarget.value })}>
              {values.map((value) => (
                <option key={value} value={value}>
                  {value}
                </option>
              ))}
            </select>
          </label>
        ))}
      </div>
      <Figures form={form} system={system} />
    </section>
  );
}

function Figures({ form, system }: { readonly form: SpringForm; readonly system: UnitSystem }) {
  const figures = springFigures(form);
  if (!figures.ok)
    return (
      <p class="problem" role="status">
        {figures.why}
      </p>
    );
  const lines: readonly (readonly [name: string, text: string])[] = [
    ['Rate', showText('spring-rate', figures.rateNPerMm, system)],
    ['Spring index', formatNumber(figures.index, 2)],
    ['Solid length', showText('travel', figures.solidMm, system)],
    ['Sum of the least coil clearances', showText('travel', figures.clearanceMm, system)],
    ['Shortest usable length', showText('travel', figures.shortestMm, system)],
    ['Force at the shortest usable length', showText('force', figures.forceAtShortestN, system)],
    ['Force with coils touching', showText('force', figures.forceAtSolidN, system)],
    ['Shear stress at the shortest usable length', `${formatNumber(figures.stressAtShortestMpa, 0)}\u00a0MPa`],
    ['The same, corrected for curvature', `${formatNumber(figures.correctedAtShortestMpa, 0)}\u00a0MPa`],
    ['Shear stress with coils touching', `${formatNumber(figures.stressAtSolidMpa, 0)}\u00a0MPa`],
  ];
  return (
    <>
      <dl class="spring-figures" aria-live="polite">
        {lines.map(([name, text]) => (
          <div class="figure-line" key={name}>
            <dt>{name}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
      {figures.warnings.map((words) => (
        <p class="problem" key={words}>
          {words}
        </p>
      ))}
      <p>In the site file, under the take-up:</p>
      <pre class="yaml" tabIndex={0}>
        {springYaml(form)}
      </pre>
    </>
  );
}

function isLength(field: NumberField): boolean {
  return NUMBERS.find((one) => one.field === field)?.length === true;
}

function typedOf(form: SpringForm, system: UnitSystem): Readonly<Record<NumberField, string>> {
  const shown = (field: NumberField): readonly [NumberField, string] => {
    const value = isLength(field) && system === 'imperial' ? mmToInches(form[field]) : form[field];
    return [field, String(Number(value.toFixed(4)))];
  };
  return Object.fromEntries(NUMBERS.map(({ field }) => shown(field))) as Record<NumberField, string>;
}

function numbersOf(typed: Readonly<Record<NumberField, string>>, system: UnitSystem): Pick<SpringForm, NumberField> {
  const read = (field: NumberField): readonly [NumberField, number] => {
    const value = typed[field].trim() === '' ? NaN : Number(typed[field]);
    return [field, isLength(field) && system === 'imperial' ? inchesToMm(value) : value];
  };
  return Object.fromEntries(NUMBERS.map(({ field }) => read(field))) as Record<NumberField, number>;
}
