import { bundle } from "../bundle.ts";

export const GET = () => bundle("src/chart/element.ts");
