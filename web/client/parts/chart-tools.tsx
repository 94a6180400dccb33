import { toCsv, type CsvCell } from '../logic/csv.js';

/** A table as it is saved. */
export interface Table {
  readonly head: readonly string[];
  readonly rows: readonly (readonly CsvCell[])[];
}

interface ChartToolsProps {
  /** Of the files, without their ending. */
  readonly name: string;
  /** Above the charts in the picture. */
  readonly title: string;
  readonly charts: () => readonly HTMLCanvasElement[];
  readonly table: () => Table;
}

/** What is drawn, as a picture and as a table, to take along. */
export function ChartTools({ name, title, charts, table }: ChartToolsProps) {
  const savePicture = async (): Promise<void> => {
    const { pictureOf, saveFile } = await import('../charts/save-file.js');
    const picture = await pictureOf(title, charts());
    if (picture !== undefined) saveFile(`${name}.png`, picture);
  };
  const saveTable = async (): Promise<void> => {
    const { saveFile } = await import('../charts/save-file.js');
    const { head, rows } = table();
    saveFile(`${name}.csv`, new Blob([toCsv(head, rows)], { type: 'text/csv;charset=utf-8' }));
  };
  return (
    <p class="chart-tools">
      <button type="button" onClick={() => void savePicture()}>
        Save as PNG
      </button>
      <button type="button" onClick={() => void saveTable()}>
        Save as CSV
      </button>
    </p>
  );
}
