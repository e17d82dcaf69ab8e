/** What this project uses of fitsjs 0.6.6 (CommonJS, no types of its own). */
declare module 'fitsjs' {
  export interface FitsjsHeader {
    cardIndex: number;
    get(keyword: string): unknown;
    hasDataUnit(): boolean;
    getDataLength(): number;
    getDataType(): string | null;
  }
  export interface FitsjsImage {
    readonly bitpix: number;
    readonly naxis: readonly number[];
    readonly width: number;
    readonly height: number;
    readonly depth: number;
    /** Bytes of the data unit. */
    readonly length: number;
  }
  export interface FitsjsHeaderClass {
    new (block: string): FitsjsHeader;
    readonly prototype: {
      VerifyFns: Record<string, (this: FitsjsHeader, value: unknown) => unknown>;
    } & Record<string, unknown>;
  }
  export const astro: {
    readonly FITS: {
      readonly Header: FitsjsHeaderClass;
      readonly Image: new (header: FitsjsHeader, data: ArrayBuffer | null) => FitsjsImage;
    };
  };
}
