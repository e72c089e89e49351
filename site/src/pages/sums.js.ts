import { bundle } from "../bundle.ts";

export const GET = () => bundle("src/calculate/element.ts");
